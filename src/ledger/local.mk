# Sources of ledger/, included by the top Makefile.am.
lib_ledger_sources = \
	src/ledger/ledger.h
