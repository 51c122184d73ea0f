unit_programs += tests/unit/test_text_mem
unit_programs += tests/unit/test_text_sbuf
unit_programs += tests/unit/test_text_utf8
unit_programs += tests/unit/test_text_sha256
unit_programs += tests/unit/test_checkdigit
