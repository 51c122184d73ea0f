/* fire_table.h - fire_limits.csv, shared by the programs that replay it, and its columns. */
#ifndef LW_TESTS_FIRE_TABLE_H
#define LW_TESTS_FIRE_TABLE_H

#include "origin_world.h"

enum { ID, KIND, CODESET, LIMIT, GIVEN, INPUT, EXPECT, UNIT };

static struct sheet_csv table;

static inline void read_table(void)
{
    if (table.rows == 0)
        sheet_csv_read("tests/published/fire_limits.csv", &table);
}

/* The value of NAME in "name=value;name=value", NULL where it is not there. Good for 16 calls. */
static inline const char *given(const char *pairs, const char *name)
{
    static char buffer[16][64];
    static unsigned turn;
    char *out = buffer[turn++ % 16];
    size_t n = strlen(name);

    for (const char *p = pairs; *p != '\0'; p += *p == ';') {
        size_t length = strcspn(p, ";");

        if (strncmp(p, name, n) == 0 && p[n] == '=') {
            snprintf(out, 64, "%.*s", (int)(length - n - 1), p + n + 1);
            return out;
        }
        p += length;
    }
    return NULL;
}

/* An empty world in which every shipped limit is in force. */
static inline void all_in_force(void)
{
    world_open();
    ck_assert_int_eq(sqlite3_exec(store_db(world.store),
                                  "drop table if exists temp.lim_in_force; create temp table"
                                  " lim_in_force as select * from lim",
                                  NULL, NULL, NULL),
                     SQLITE_OK);
}

#endif
