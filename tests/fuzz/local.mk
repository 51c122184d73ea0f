# Fuzz targets. fuzz_x.c is linked with libFuzzer (--enable-fuzz; tests/fuzz/run runs them), and with
# replay.c, which `make check` uses to run the committed seeds of tests/fuzz/seeds/x once each.
fuzz_support = tests/fuzz/fuzz.c tests/fuzz/fuzz.h
if FUZZ
fuzz_programs += tests/fuzz/fuzz_xml tests/fuzz/fuzz_csv tests/fuzz/fuzz_value tests/fuzz/fuzz_sheet \
	tests/fuzz/fuzz_pattern tests/fuzz/fuzz_ledger
tests_fuzz_fuzz_xml_SOURCES = tests/fuzz/fuzz_xml.c $(fuzz_support)
tests_fuzz_fuzz_xml_LDFLAGS = $(AM_LDFLAGS) -fsanitize=fuzzer
tests_fuzz_fuzz_csv_SOURCES = tests/fuzz/fuzz_csv.c $(fuzz_support)
tests_fuzz_fuzz_csv_LDFLAGS = $(AM_LDFLAGS) -fsanitize=fuzzer
tests_fuzz_fuzz_value_SOURCES = tests/fuzz/fuzz_value.c $(fuzz_support)
tests_fuzz_fuzz_value_LDFLAGS = $(AM_LDFLAGS) -fsanitize=fuzzer
tests_fuzz_fuzz_sheet_SOURCES = tests/fuzz/fuzz_sheet.c $(fuzz_support)
tests_fuzz_fuzz_sheet_LDFLAGS = $(AM_LDFLAGS) -fsanitize=fuzzer
tests_fuzz_fuzz_pattern_SOURCES = tests/fuzz/fuzz_pattern.c $(fuzz_support)
tests_fuzz_fuzz_pattern_LDFLAGS = $(AM_LDFLAGS) -fsanitize=fuzzer
tests_fuzz_fuzz_ledger_SOURCES = tests/fuzz/fuzz_ledger.c $(fuzz_support)
tests_fuzz_fuzz_ledger_LDFLAGS = $(AM_LDFLAGS) -fsanitize=fuzzer
else
fuzz_replays = tests/fuzz/replay_xml tests/fuzz/replay_csv tests/fuzz/replay_value tests/fuzz/replay_sheet \
	tests/fuzz/replay_pattern tests/fuzz/replay_ledger
test_helpers += $(fuzz_replays)
script_tests += tests/fuzz/replay
fuzz_replay_support = tests/fuzz/replay.c $(fuzz_support)
tests_fuzz_replay_xml_SOURCES = tests/fuzz/fuzz_xml.c $(fuzz_replay_support)
tests_fuzz_replay_csv_SOURCES = tests/fuzz/fuzz_csv.c $(fuzz_replay_support)
tests_fuzz_replay_value_SOURCES = tests/fuzz/fuzz_value.c $(fuzz_replay_support)
tests_fuzz_replay_sheet_SOURCES = tests/fuzz/fuzz_sheet.c $(fuzz_replay_support)
tests_fuzz_replay_pattern_SOURCES = tests/fuzz/fuzz_pattern.c $(fuzz_replay_support)
tests_fuzz_replay_ledger_SOURCES = tests/fuzz/fuzz_ledger.c $(fuzz_replay_support)
endif
