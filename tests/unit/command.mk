# Unit tests of src/command: one line a program, e.g. unit_programs += tests/unit/test_command_x
unit_programs += tests/unit/test_command_options
