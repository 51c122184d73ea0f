script_tests += tests/consistency/man_pages tests/consistency/man_examples tests/consistency/same_findings tests/consistency/json_parses
# Tests that hold one part of the tree against another: script_tests += tests/consistency/x
script_tests += tests/consistency/data-schema tests/consistency/limits-data tests/consistency/origin-data tests/consistency/origin-words tests/consistency/house
script_tests += tests/consistency/locale
script_tests += tests/consistency/record-schema
test_helpers += tests/consistency/read_records tests/consistency/fact_dump
script_tests += tests/consistency/printed_pages
script_tests += tests/consistency/help_pages tests/consistency/completion
