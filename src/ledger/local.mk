lib_ledger_sources =
