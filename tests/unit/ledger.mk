# Unit tests of src/ledger: one line a program, e.g. unit_programs += tests/unit/test_ledger_x
unit_programs += tests/unit/test_ledger_alloc
unit_programs += tests/unit/test_ledger_append
unit_programs += tests/unit/test_ledger_chain
unit_programs += tests/unit/test_ledger_io
unit_programs += tests/unit/test_ledger_open
