# Fault injection: tests/fault/run is what `make check-fault` runs, every script at full strength.
# Here the same scripts at a strength that `make check` bears.
script_tests += tests/fault/kill_loop.sh tests/fault/trouble.sh
