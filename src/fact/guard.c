#include "text/base.h"

#include "fact/guard.h"
#include "text/utf8.h"

/* Built-in functions a sheet may call. Absent on purpose: date and time (they read the clock),
 * random, total (it turns unknown into zero), printf (it can make huge strings), load_extension. */
static const char *const builtins[] = {
    "abs",          "avg",   "coalesce",   "count", "dense_rank", "first_value", "glob",
    "group_concat", "iif",   "ifnull",     "instr", "last_value", "lag",         "lead",
    "length",       "like",  "lower",      "max",   "min",        "nullif",      "rank",
    "replace",      "round", "row_number", "rtrim", "ltrim",      "substr",      "substring",
    "sum",          "trim",  "upper",      "ceil",  "floor",      "typeof",
};

static bool builtin_allowed(const char *name)
{
    for (size_t i = 0; i < LW_COUNT(builtins); i++)
        if (ascii_casecmp(builtins[i], name) == 0)
            return true;
    return false;
}

/* Our own functions all start with "lw_": registered by C, pure. */
static bool function_allowed(const char *name)
{
    return str_starts(name, "lw_") || builtin_allowed(name);
}

static bool table_allowed(const struct guard *g, const char *table)
{
    if (g->scope == GUARD_RULE)
        return str_eq(table, g->table);
    static const char *const names[] = {"lim", "lim_in_force", "codeset", "run", "run_code_set"};
    if (str_starts(table, "rec_") || str_starts(table, "fact_") || str_starts(table, "cat_"))
        return true;
    for (size_t i = 0; i < LW_COUNT(names); i++)
        if (str_eq(table, names[i]))
            return true;
    return false;
}

static int refuse(struct guard *g, const char *what, const char *name)
{
    if (!*g->refused)
        snprintf(g->refused, sizeof g->refused, "%s '%.80s' is not allowed here", what,
                 name ? name : "");
    return SQLITE_DENY;
}

/* What SQLite itself asks leave for while it makes the one table, or fills it. */
static bool making(const struct guard *g, int action, const char *a, const char *b)
{
    bool schema = g->creates && (str_eq(a, "sqlite_master") || str_eq(a, "sqlite_schema"));
    switch (action) {
    case SQLITE_CREATE_TABLE:
        return g->creates && str_eq(a, g->creates);
    case SQLITE_INSERT:
        return schema || (g->creates && str_eq(a, g->creates)) || (g->fills && str_eq(a, g->fills));
    case SQLITE_UPDATE:
        return schema;
    case SQLITE_READ:
        return schema && str_eq(b, "ROWID");
    default:
        return false;
    }
}

/* The guard of the statement being compiled; NULL: one of our own, which may do anything. Setting
 * an authorizer makes SQLite compile every other statement of the connection again, so it is set
 * once and asks here. */
static struct guard *current;
static bool asked;

static int authorize(void *user, int action, const char *a, const char *b, const char *db,
                     const char *view)
{
    struct guard *g = current;
    (void)user;
    (void)db;
    (void)view;
    asked = true;
    if (!g)
        return SQLITE_OK;
    if (g->scope == GUARD_WATCH) {
        if (action == SQLITE_UPDATE || action == SQLITE_INSERT || action == SQLITE_DELETE)
            g->on_read(a, action == SQLITE_UPDATE ? b : "", g->user);
        return SQLITE_OK;
    }
    if ((g->creates || g->fills) && making(g, action, a, b))
        return SQLITE_OK;
    switch (action) {
    case SQLITE_SELECT:
    case SQLITE_RECURSIVE:
        return SQLITE_OK;
    case SQLITE_READ:
        if (!a || !*a) /* a column of a common table expression */
            return SQLITE_OK;
        if (!table_allowed(g, a))
            return refuse(g, "reading table", a);
        if (g->on_read && b)
            g->on_read(a, b, g->user);
        return SQLITE_OK;
    case SQLITE_FUNCTION:
        return function_allowed(b) ? SQLITE_OK : refuse(g, "function", b);
    default:
        return refuse(g, "a statement other than SELECT", "");
    }
}

static int compile(sqlite3 *db, const char *sql, struct guard *g, sqlite3_stmt **st,
                   const char **tail)
{
    asked = false;
    current = g;
    int rc = sqlite3_prepare_v2(db, sql, -1, st, tail);
    current = NULL;
    return rc;
}

sqlite3_stmt *guard_watch(sqlite3 *db, const char *sql, const char **tail,
                          void (*on_write)(const char *table, const char *column, void *user),
                          void *user)
{
    struct guard g = {.scope = GUARD_WATCH, .on_read = on_write, .user = user};
    sqlite3_stmt *st = NULL;
    if (compile(db, sql, &g, &st, tail) != SQLITE_OK) {
        sqlite3_finalize(st);
        st = NULL;
    }
    return st;
}

sqlite3_stmt *guard_prepare(sqlite3 *db, const char *sql, struct guard *g, const char *file,
                            long line, struct diags *d)
{
    sqlite3_stmt *st = NULL;
    const char *tail = NULL;
    g->refused[0] = '\0';
    size_t most = g->sql_max ? g->sql_max : GUARD_SQL_MAX;
    if (strlen(sql) > most) {
        diags_add(d, DIAG_ERROR, "sql-too-long", file, line, 0, NULL,
                  "the SQL is longer than %zu bytes", most);
        return NULL;
    }
    int rc = compile(db, sql, g, &st, &tail);
    if (!asked) { /* this connection has no authorizer yet: nothing was guarded */
        sqlite3_finalize(st);
        st = NULL;
        sqlite3_set_authorizer(db, authorize, NULL);
        rc = compile(db, sql, g, &st, &tail);
    }
    if (rc == SQLITE_NOMEM) {
        diags_out_of_memory(d);
        return NULL;
    }
    if (rc != SQLITE_OK || !st) {
        diags_add(d, DIAG_ERROR, "bad-sql", file, line, 0, NULL, "%s",
                  *g->refused ? g->refused
                  : st        ? "no statement"
                              : sqlite3_errmsg(db));
        sqlite3_finalize(st);
        return NULL;
    }
    while (tail && ascii_space(*tail))
        tail++;
    if ((tail && *tail) || (!g->creates && !g->fills && !sqlite3_stmt_readonly(st)) ||
        sqlite3_bind_parameter_count(st) > 0) {
        diags_add(d, DIAG_ERROR, "bad-sql", file, line, 0, NULL,
                  "one SELECT is wanted, without parameters, and nothing after it");
        sqlite3_finalize(st);
        return NULL;
    }
    return st;
}

void guard_harden(sqlite3 *db)
{
    /* Bounds on what a hostile sheet could ask of the parser and the planner. */
    enum { LENGTH_MAX = 16 * 1024 * 1024, DEPTH_MAX = 200, COMPOUND_MAX = 50 };
    sqlite3_db_config(db, SQLITE_DBCONFIG_DQS_DML, 0, (int *)NULL);
    sqlite3_db_config(db, SQLITE_DBCONFIG_DQS_DDL, 0, (int *)NULL);
    sqlite3_db_config(db, SQLITE_DBCONFIG_DEFENSIVE, 1, (int *)NULL);
    sqlite3_db_config(db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, (int *)NULL);
    sqlite3_db_config(db, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, (int *)NULL);
    sqlite3_limit(db, SQLITE_LIMIT_LENGTH, LENGTH_MAX);
    sqlite3_limit(db, SQLITE_LIMIT_EXPR_DEPTH, DEPTH_MAX);
    sqlite3_limit(db, SQLITE_LIMIT_COMPOUND_SELECT, COMPOUND_MAX);
    sqlite3_limit(db, SQLITE_LIMIT_ATTACHED, 0);
    sqlite3_limit(db, SQLITE_LIMIT_TRIGGER_DEPTH, 0);
}
