# Sources of ledger/, included by the top Makefile.am.
lib_ledger_sources = \
	src/ledger/append.c \
	src/ledger/backup.c \
	src/ledger/chain.c \
	src/ledger/diff.c src/ledger/diff.h \
	src/ledger/error.c \
	src/ledger/ledger.h \
	src/ledger/open.c \
	src/ledger/path.c \
	src/ledger/private.h \
	src/ledger/read.c \
	src/ledger/schema.c \
	src/ledger/verify.c
