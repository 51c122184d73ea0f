# mkpages prints the pages of the manual made from the dictionary, the sheets and the rules.
noinst_PROGRAMS += mkpages
mkpages_SOURCES = \
	src/manual/mkpages.c src/manual/manual.h \
	src/manual/manual_facts.c \
	src/manual/manual_limits.c \
	src/manual/manual_records.c \
	src/manual/manual_rules.c \
	src/manual/manual_sources.c \
	src/manual/manual_works.c \
	src/manual/mdoc_write.c
mkpages_LDADD = $(lw_libs)
EXTRA_DIST = \
	src/manual/lotward-cautions.7.in \
	src/manual/lotward-facts.7.in \
	src/manual/lotward-limits.7.in \
	src/manual/lotward-records.5.in \
	src/manual/lotward-rules.5.in \
	src/manual/lotward-sources.7.in \
	src/manual/sources.md.in
