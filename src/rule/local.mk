lib_rule_sources = \
	src/rule/detail.c src/rule/detail.h \
	src/rule/evaluate.c src/rule/evaluate.h \
	src/rule/example_read.c src/rule/example_read.h \
	src/rule/example_records.c src/rule/example_records.h \
	src/rule/expression.c src/rule/expression.h \
	src/rule/finding.h \
	src/rule/limit_judge.c src/rule/limit_judge.h \
	src/rule/names.c \
	src/rule/program.c src/rule/program.h \
	src/rule/rule.h \
	src/rule/rule_read.c src/rule/rule_read.h \
	src/rule/rule_pack.c \
	src/rule/rule_set.c \
	src/rule/selftest.c src/rule/selftest.h \
	src/rule/waive.c src/rule/waive.h
