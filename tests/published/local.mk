# Tables with a published source: published_programs += tests/published/published
published_programs += tests/published/published
tests_published_published_SOURCES = \
	tests/published/published.h \
	tests/published/published.c \
	tests/published/pub_density.c \
	tests/published/pub_mixing.c \
	tests/published/pub_vapour.c \
	tests/published/pub_flash.c \
	tests/published/pub_air.c

# The same quantities written a second time, in Python; skipped without SciPy.
test_helpers += tests/published/phys_dump
script_tests += tests/published/differential
published_programs += tests/published/label_data
tests_published_label_data_SOURCES = tests/published/sheet.h tests/published/label_data.c
published_programs += tests/published/label_cases
tests_published_label_cases_SOURCES = tests/published/sheet.h tests/published/label_cases.c
published_programs += tests/published/sale_cases
tests_published_sale_cases_SOURCES = tests/published/sheet.h tests/published/origin_world.h tests/published/sale_cases.c
published_programs += tests/published/origin_replay
tests_published_origin_replay_SOURCES = tests/published/sheet.h tests/published/origin_world.h tests/published/origin_replay.c
published_programs += tests/published/fire_limits
tests_published_fire_limits_SOURCES = tests/published/sheet.h tests/published/origin_world.h tests/published/fire_table.h tests/published/fire_limits.c
published_programs += tests/published/storage_property
tests_published_storage_property_SOURCES = tests/published/sheet.h tests/published/origin_world.h tests/published/storage_property.c
published_programs += tests/published/fire_replay
tests_published_fire_replay_SOURCES = tests/published/sheet.h tests/published/origin_world.h tests/published/fire_table.h tests/published/fire_replay.c
published_programs += tests/published/fire_cases
tests_published_fire_cases_SOURCES = tests/published/sheet.h tests/published/origin_world.h tests/published/fire_table.h tests/published/fire_cases.c
