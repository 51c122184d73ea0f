lib_record_sources =
