lib_report_sources = \
	src/report/blanks.c src/report/blanks.h \
	src/report/chart.c src/report/chart.h \
	src/report/count.c \
	src/report/format.c src/report/format.h \
	src/report/json.c src/report/json.h \
	src/report/label_layout.c src/report/label_layout.h \
	src/report/label_symbol.c src/report/label_symbol.h \
	src/report/layout.c src/report/layout.h \
	src/report/layout_table.c \
	src/report/mdoc.c src/report/mdoc.h src/report/mdoc_inline.c \
	src/report/page.c src/report/page.h src/report/page_findings.c \
	src/report/page_items.c \
	src/report/page_tables.c \
	src/report/page_inventory.c src/report/page_inventory.h src/report/site_plan.c \
	src/report/report.c src/report/report.h \
	src/report/report_csv.c \
	src/report/report_json.c \
	src/report/report_sarif.c \
	src/report/report_text.c \
	src/report/text_closing.c \
	src/report/trace_svg.c src/report/trace_svg.h \
	src/report/text_parts.h \
	src/report/text_short.c \
	src/report/text_untold.c
