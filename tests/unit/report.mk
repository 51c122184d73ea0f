# Unit tests of src/report: one line a program, e.g. unit_programs += tests/unit/test_report_x
unit_programs += tests/unit/test_report_json
unit_programs += tests/unit/test_report_layout
unit_programs += tests/unit/test_report_text
unit_programs += tests/unit/test_report_chart
