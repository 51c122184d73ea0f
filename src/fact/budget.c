#include "text/base.h"

#include "fact/budget.h"
#include "fact/guard.h"
#include "text/mem.h"

/* Steps of SQLite's virtual machine between two looks, and how many looks: 20 million steps take a
 * second or less. A record adds 20,000 steps and 16 KB, about ten times what the shipped sheets
 * take. */
enum { STEPS_PER_TICK = 100000, TICKS_LEAST = 200, RECORDS_PER_TICK = 5 };
#define BYTES_LEAST      ((size_t)256 * 1024 * 1024)
#define BYTES_PER_RECORD ((size_t)16 * 1024)

static int on_tick(void *user)
{
    struct budget *b = user;
    return ++b->ticks > b->most;
}

void budget_start(struct budget *b, struct store *s)
{
    unsigned long records = store_counts(s).added;
    b->db = store_db(s);
    b->most = TICKS_LEAST + records / RECORDS_PER_TICK;
    b->bytes = BYTES_LEAST + records * BYTES_PER_RECORD;
    b->length = sqlite3_limit(b->db, SQLITE_LIMIT_LENGTH, -1);
    guard_harden(b->db);
    budget_renew(b);
    sqlite3_progress_handler(b->db, STEPS_PER_TICK, on_tick, b);
}

void budget_renew(struct budget *b)
{
    b->ticks = 0;
    mem_bound(b->bytes);
}

void budget_end(struct budget *b)
{
    sqlite3_progress_handler(b->db, 0, NULL, NULL);
    sqlite3_limit(b->db, SQLITE_LIMIT_LENGTH, b->length);
    mem_bound(0);
}

bool budget_told(const struct budget *b, int rc, const char *what, const char *name,
                 const char *file, long line, struct diags *d)
{
    if (rc == SQLITE_INTERRUPT && b->ticks > b->most) {
        diags_add(d, DIAG_FATAL, "too-long", file, line, 0, NULL,
                  "%s '%s' was stopped: it takes too many steps", what, name);
        return true;
    }
    if (rc == SQLITE_NOMEM && mem_bound_hit()) {
        diags_add(d, DIAG_FATAL, "too-large", file, line, 0, NULL,
                  "%s '%s' was stopped: it takes too much memory", what, name);
        return true;
    }
    return false;
}
