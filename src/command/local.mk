lib_command_sources = \
	src/command/command.h \
	src/command/options.h \
	src/command/session.h
