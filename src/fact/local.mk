lib_fact_sources =
