# Fuzz targets (--enable-fuzz): fuzz_programs += tests/fuzz/fuzz_x; tests/fuzz/run runs them.
if FUZZ
fuzz_programs += tests/fuzz/fuzz_ledger
tests_fuzz_fuzz_ledger_LDFLAGS = $(AM_LDFLAGS) -fsanitize=fuzzer
endif
