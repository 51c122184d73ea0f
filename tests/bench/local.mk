# Measurements: tests/bench/run is what `make bench` runs, with the programs listed here and every
# executable tests/bench/bench-* script.
bench_programs += tests/bench/bench_physics
# Not measurements themselves: the generator of large inputs, and the finder of the slow sheet.
test_helpers += tests/bench/gen_lots tests/bench/profile_facts
