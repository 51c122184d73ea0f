lib_command_sources = \
	src/command/card.c src/command/card.h \
	src/command/card_codes.c \
	src/command/card_facts.c \
	src/command/card_find.c \
	src/command/card_grade.c \
	src/command/card_liquid.c \
	src/command/card_material.c \
	src/command/card_strength.c \
	src/command/work.c src/command/work.h \
	src/command/work_answer.c \
	src/command/work_args.c \
	src/command/work_chart.c \
	src/command/work_flash.c \
	src/command/work_flash_class.c \
	src/command/work_flash_other.c \
	src/command/work_liquid.c \
	src/command/work_mix.c \
	src/command/work_room.c src/command/work_room.h \
	src/command/work_room_tables.c \
	src/command/work_strength.c \
	src/command/work_vapour.c \
	src/command/amend.c \
	src/command/book.c \
	src/command/book_export.c src/command/book_export.h \
	src/command/corrections.c src/command/corrections.h \
	src/command/record_days.c src/command/record_days.h \
	src/command/compare.c src/command/compare.h \
	src/command/file.c \
	src/command/filing.c src/command/filing.h \
	src/command/refused.c src/command/refused.h \
	src/command/waive.c \
	src/command/audit.c \
	src/command/audit_book.c \
	src/command/audit_more.c src/command/audit_more.h \
	src/command/audit_since.c \
	src/command/audit_tables.c src/command/audit_tables.h \
	src/command/check.c \
	src/command/check_chart.c \
	src/command/check_page.c src/command/check_page.h \
	src/command/check_pass.c src/command/check_pass.h \
	src/command/check_steps.c src/command/check_steps.h \
	src/command/check_trial.c src/command/check_trial.h \
	src/command/command.h \
	src/command/data_dir.c \
	src/command/describe.c \
	src/command/ethanol.c \
	src/command/explain.c \
	src/command/filters.c src/command/filters.h \
	src/command/form.c \
	src/command/completion.c \
	src/command/help.c src/command/help.h \
	src/command/help_page.c \
	src/command/new.c src/command/new_ask.c src/command/new.h \
	src/command/inputs.c \
	src/command/inventory.c \
	src/command/inventory_ahead.c \
	src/command/inventory_shown.c \
	src/command/inventory_sql.c src/command/inventory_sql.h \
	src/command/inventory_sql_list.c \
	src/command/inventory_sql_stock.c \
	src/command/inventory_tables.c src/command/inventory_tables.h \
	src/command/label.c \
	src/command/label_draft.c src/command/label_draft.h \
	src/command/label_make.c src/command/label_make.h \
	src/command/label_proof.c src/command/label_proof.h \
	src/command/label_sql.c src/command/label_sql.h \
	src/command/label_tables.c src/command/label_tables.h \
	src/command/lot.c \
	src/command/lot_table.c src/command/lot_table.h \
	src/command/options.c src/command/options.h \
	src/command/progress.c src/command/progress.h \
	src/command/plan.c src/command/plan.h \
	src/command/rows.c src/command/rows.h \
	src/command/rules.c \
	src/command/run.c \
	src/command/sale.c \
	src/command/sale_tables.c src/command/sale_tables.h \
	src/command/sale_what_if.c src/command/sale_what_if.h \
	src/command/schema.c \
	src/command/scope.c src/command/scope.h \
	src/command/scans.c src/command/scans.h \
	src/command/session.c src/command/session.h \
	src/command/trace.c \
	src/command/table.c
