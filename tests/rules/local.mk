# Tests that run over all rules: script_tests += tests/rules/x
test_helpers += tests/rules/demo_findings tests/rules/plan_table tests/rules/words tests/rules/without_lot
script_tests += tests/rules/examples tests/rules/demo-findings tests/rules/demo-blanking tests/rules/plan-table tests/rules/words-in-steps tests/rules/without-lot
script_tests += tests/rules/label-elements tests/rules/label-complete-text tests/rules/label-classes tests/rules/label-words
script_tests += tests/rules/label-cases
