# Sources of record/, included by the top Makefile.am.
lib_record_sources = \
	src/record/dict_lot.h src/record/dict_paper.h src/record/dict_site.h src/record/dict_trade.h \
	src/record/dictionary.c src/record/dictionary.h \
	src/record/dict_util.c src/record/dict_near.h \
	src/record/country.c src/record/country.h \
	src/record/record.c src/record/record.h \
	src/record/trace_walk.c src/record/trace.h \
	src/record/trace_internal.h src/record/trace_steps.c \
	src/record/value.c src/record/value.h \
	src/record/check.c \
	src/record/canonical.c \
	src/record/text_guard.c src/record/text_guard.h \
	src/record/reader.c src/record/reader.h \
	src/record/csv_map.c src/record/csv_map.h \
	src/record/csv_reader.c src/record/csv_split.c src/record/csv_split.h \
	src/record/xml_reader.c src/record/xml_records.c src/record/xml_reader_internal.h \
		src/record/store.c src/record/store.h src/record/store_internal.h \
	src/record/store_ddl.c src/record/store_insert.c src/record/store_reset.c src/record/store_get.c \
	src/record/store_finish.c src/record/image.c src/record/image.h \
	src/record/catalogue.c src/record/catalogue.h src/record/catalogue_internal.h \
	src/record/limits.c \
	src/record/export.c src/record/export.h \
	src/record/schema.c src/record/schema.h
