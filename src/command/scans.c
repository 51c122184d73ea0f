/* scans.c - checksums of the scanned files that documents name. */
#include "text/base.h"

#include <sys/stat.h>

#include "command/rows.h"
#include "command/scans.h"
#include "text/file.h"
#include "text/sha256.h"
#include "text/utf8.h"

/* A name that stays in its folder: relative, and no step upward. A record may come from anybody. */
static bool stays_inside(const char *name)
{
    if (*name == '\0' || *name == '/')
        return false;
    for (const char *p = name; *p != '\0'; p += strspn(p, "/")) {
        size_t n = strcspn(p, "/");

        if (n == 2 && p[0] == '.' && p[1] == '.')
            return false;
        p += n;
    }
    return true;
}

static void put_path(struct sbuf *b, const char *record_file, const char *name)
{
    const char *slash = record_file == NULL ? NULL : strrchr(record_file, '/');

    if (slash != NULL)
        sbuf_putn(b, record_file, (size_t)(slash - record_file) + 1);
    sbuf_puts(b, name);
}

/* The checksum in hexadecimal; false when there is no such file to read. */
static bool checksum(const char *path, char hex[SHA256_HEX + 1])
{
    struct diags *quiet = diags_new(); /* a file that is not there is no trouble */
    struct sbuf bytes = SBUF_INIT;
    struct stat st;
    bool ok = quiet != NULL && stat(path, &st) == 0 && S_ISREG(st.st_mode) &&
              file_read(path, SCAN_BYTES_MOST, &bytes, quiet);

    if (ok) {
        struct sha256 h;
        unsigned char digest[SHA256_BYTES];

        sha256_init(&h);
        sha256_add(&h, bytes.s, bytes.len);
        sha256_end(&h, digest);
        sha256_hex(digest, hex);
    }
    sbuf_free(&bytes);
    diags_free(quiet);
    return ok;
}

struct scans {
    sqlite3_stmt *update;
    bool failed;
};

static void check_one(struct session *s, sqlite3_stmt *st, void *user)
{
    struct scans *c = user;
    struct sbuf path = SBUF_INIT;
    char hex[SHA256_HEX + 1];

    (void)s;
    if (c->failed || !stays_inside(rows_text(st, 1)))
        return;
    put_path(&path, rows_text(st, 2), rows_text(st, 1));
    if (!path.failed && checksum(path.s, hex)) {
        sqlite3_bind_text(c->update, 1, rows_text(st, 0), -1, SQLITE_TRANSIENT);
        sqlite3_bind_text(c->update, 2, hex, -1, SQLITE_TRANSIENT);
        c->failed = sqlite3_step(c->update) != SQLITE_DONE;
        sqlite3_reset(c->update);
    }
    sbuf_free(&path);
}

bool session_check_scans(struct session *s)
{
    struct scans c = {0};
    bool ok = sqlite3_prepare_v2(store_db(s->store),
                                 "update rec_document set scan_sha256 = ?2 where id = ?1", -1,
                                 &c.update, NULL) == SQLITE_OK &&
              rows_select(s,
                          "select id, scan, file from rec_document"
                          " where scan is not null and sha256 is not null order by rid",
                          NULL, NULL, check_one, &c);

    sqlite3_finalize(c.update);
    return ok && !c.failed;
}
