# Tests that run over all rules: script_tests += tests/rules/x
test_helpers += tests/rules/demo_findings tests/rules/plan_table tests/rules/words tests/rules/without_lot
script_tests += tests/rules/examples tests/rules/demo-findings tests/rules/demo-blanking tests/rules/plan-table tests/rules/words-in-steps tests/rules/without-lot
tests_rules_plan_table_SOURCES = tests/rules/plan_table.c tests/rules/csv_field.h
tests_rules_words_SOURCES = tests/rules/words.c tests/rules/csv_field.h
# Small wrongs planted in every rule: its own examples must notice.
test_helpers += tests/rules/mutate
tests_rules_mutate_SOURCES = tests/rules/mutate.c tests/rules/mutate_bench.c tests/rules/mutate_bench.h \
	tests/rules/mutants.c tests/rules/mutants.h tests/rules/near_miss.c
script_tests += tests/rules/label-elements tests/rules/label-complete-text tests/rules/label-classes tests/rules/label-words
script_tests += tests/rules/label-cases
script_tests += tests/rules/mutation
