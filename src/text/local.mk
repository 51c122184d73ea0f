lib_text_sources = \
	src/text/checkdigit.c src/text/checkdigit.h \
	src/text/base.h \
	src/text/date.c src/text/date.h \
	src/text/diag.c src/text/diag.h \
	src/text/file.c src/text/file.h \
	src/text/markup.c src/text/markup.h \
	src/text/mem.c src/text/mem.h \
	src/text/pack.c src/text/pack.h \
	src/text/number.c src/text/number.h src/text/number_convert.c \
	src/text/quantity.c src/text/quantity.h \
	src/text/sbuf.c src/text/sbuf.h \
	src/text/sha256.c src/text/sha256.h \
	src/text/utf8.c src/text/utf8.h \
	src/text/utf8_width.c \
	src/text/currency.c \
	src/text/unit.c src/text/unit.h src/text/unit_table.h \
	src/text/show.c src/text/show.h \
	src/text/xmldoc.c src/text/xmldoc.h
