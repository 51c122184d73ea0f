# Tests of the audit of a year's records
script_tests += tests/records/planted-errors tests/records/locales tests/records/sarif tests/records/balance tests/records/progress
EXTRA_DIST += tests/records/planted.py tests/records/recode.py tests/records/progress.py tests/records/clock_shim.c tests/records/sarif.js tests/records/balance.md \
	tests/records/balance.xml
