# Unit tests of src/fact: one line a program, e.g. unit_programs += tests/unit/test_fact_x
unit_programs += tests/unit/test_fact_guard
unit_programs += tests/unit/test_fact_air
unit_programs += tests/unit/test_fact_permit
unit_programs += tests/unit/test_fact_origin
