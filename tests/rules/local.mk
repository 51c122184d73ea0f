# Tests that run over all rules: script_tests += tests/rules/x
