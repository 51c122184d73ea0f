# Tests that hold one part of the tree against another: script_tests += tests/consistency/x
