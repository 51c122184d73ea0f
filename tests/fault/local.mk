# Fault injection: tests/fault/run is what `make check-fault` runs.
