lib_command_sources = \
	src/command/command.h \
	src/command/options.c src/command/options.h
