/* inventory_sql.h - the SELECTs behind the sheet: from facts and records to the words and numbers
 * people read. Amounts are summed in the facts; here they are only grouped and named. */
#ifndef LW_COMMAND_INVENTORY_SQL_H
#define LW_COMMAND_INVENTORY_SQL_H

extern const char inventory_site_sql[], inventory_contacts_sql[], inventory_lines_sql[],
    inventory_materials_sql[], inventory_classes_sql[], inventory_controls_sql[],
    inventory_ignition_sql[], inventory_waste_sql[], inventory_changes_sql[], inventory_plan_sql[],
    inventory_checklist_sql[], inventory_places_sql[], inventory_short_lines_sql[],
    inventory_amounts_sql[], inventory_readings_sql[];

#endif
