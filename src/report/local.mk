lib_report_sources = \
	src/report/count.c \
	src/report/format.h \
	src/report/json.c src/report/json.h \
	src/report/report.c src/report/report.h \
	src/report/report_json.c
