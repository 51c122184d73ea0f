# Unit tests of src/record: one line a program, e.g. unit_programs += tests/unit/test_record_x
unit_programs += tests/unit/test_record_image
