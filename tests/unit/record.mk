# Unit tests of src/record: one line a program, e.g. unit_programs += tests/unit/test_record_x
unit_programs += tests/unit/test_record_image
unit_programs += tests/unit/test_record_dictionary
unit_programs += tests/unit/test_record_value
unit_programs += tests/unit/test_record_xml
unit_programs += tests/unit/test_record_csv
unit_programs += tests/unit/test_record_store
unit_programs += tests/unit/test_record_schema
