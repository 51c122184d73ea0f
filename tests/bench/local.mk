# Measurements: tests/bench/run is what `make bench` runs, with the programs listed here and every
# executable tests/bench/bench-* script.
bench_programs += tests/bench/bench_physics
