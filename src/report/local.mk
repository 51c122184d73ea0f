lib_report_sources =
