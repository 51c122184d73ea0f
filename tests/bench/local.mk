# Measurements: tests/bench/run is what `make bench` runs, with the programs listed here and every
# executable tests/bench/bench-* script.
bench_programs += tests/bench/bench_physics
tests_bench_gen_lots_SOURCES = tests/bench/gen_lots.c tests/bench/gen_workroom.h
# Not measurements themselves: the generator of large inputs, and the finder of the slow sheet.
test_helpers += tests/bench/gen_lots tests/bench/profile_facts
script_tests += tests/bench/smoke
