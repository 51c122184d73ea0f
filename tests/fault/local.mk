# Fault injection: tests/fault/run is what `make check-fault` runs, every script at full strength.
# Here the same scripts at a strength that `make check` bears.
script_tests += tests/fault/kill_loop.sh tests/fault/trouble.sh
test_helpers += tests/fault/campaign
tests_fault_campaign_SOURCES = tests/fault/campaign.c tests/fault/scenario.c tests/fault/scenario.h \
	tests/fault/forkserver.c tests/fault/forkserver.h tests/fault/folder.c tests/fault/folder.h \
	tests/fault/verifier.c tests/fault/verifier.h tests/fault/places.c tests/fault/places.h \
	tests/fault/interpose.c tests/fault/sites.h
