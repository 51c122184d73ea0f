lib_rule_sources =
