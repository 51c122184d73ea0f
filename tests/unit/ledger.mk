# Unit tests of src/ledger: one line a program, e.g. unit_programs += tests/unit/test_ledger_x
