# Measurements: tests/bench/run is what `make bench` runs.
