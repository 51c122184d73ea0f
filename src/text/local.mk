lib_text_sources = \
	src/text/checkdigit.c src/text/checkdigit.h \
	src/text/base.h \
	src/text/date.h \
	src/text/diag.h \
	src/text/file.h \
	src/text/mem.c src/text/mem.h \
	src/text/number.h \
	src/text/quantity.h \
	src/text/sbuf.c src/text/sbuf.h \
	src/text/sha256.c src/text/sha256.h \
	src/text/utf8.c src/text/utf8.h \
	src/text/utf8_width.c
