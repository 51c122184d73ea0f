# Unit tests of src/rule: one line a program, e.g. unit_programs += tests/unit/test_rule_x
unit_programs += tests/unit/test_rule_limit
unit_programs += tests/unit/test_rule_expression
