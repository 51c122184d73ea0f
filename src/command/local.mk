lib_command_sources =
