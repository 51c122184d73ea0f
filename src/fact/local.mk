lib_fact_sources = \
	src/fact/budget.c src/fact/budget.h \
	src/fact/fact.h \
	src/fact/fact_set.c \
	src/fact/guard.c src/fact/guard.h \
	src/fact/local_code.c \
	src/fact/materialise.c \
	src/fact/memo.c src/fact/memo.h \
	src/fact/pattern.c src/fact/pattern.h \
	src/fact/run.h src/fact/run_tables.c \
	src/fact/sheet.c src/fact/sheet.h src/fact/sheet_pack.c \
	src/fact/sqlaccount.c \
	src/fact/sqlfunc.c src/fact/sqlfunc.h \
	src/fact/sqlair.c \
	src/fact/sqlphys.c \
	src/fact/tables.c src/fact/tables.h \
	src/fact/sqlrun.c \
	src/fact/sqltext.c src/fact/sqltext.h src/fact/statement.c
