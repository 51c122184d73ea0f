# Fuzz targets (--enable-fuzz): fuzz_programs += tests/fuzz/fuzz_x; tests/fuzz/run runs them.
