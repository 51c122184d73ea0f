#include "text/base.h"

#include <fcntl.h>
#include <unistd.h>

#include "record/catalogue.h"
#include "record/image.h"
#include "record/store_internal.h"
#include "text/file.h"
#include "text/mem.h"

/* After FNV-1a (Fowler, Noll, Vo; constants as published), but eight bytes a step, because two
 * megabytes are mixed at every start. It tells stale from fresh, it guards nothing. */
#define FNV_OFFSET 0xcbf29ce484222325u
#define FNV_PRIME  0x100000001b3u

#define IMAGE_MAX_BYTES (64u * 1024u * 1024u)
#define SHEET_MAX_BYTES (4u * 1024u * 1024u)
/* Changes whenever the tables that are not of the dictionary do. */
#define IMAGE_LAYOUT 4

static void mix_word(uint64_t *h, uint64_t word)
{
    *h = (*h ^ word) * FNV_PRIME;
    *h ^= *h >> 29; /* the product alone never carries a high bit down */
}

static void mix(uint64_t *h, const void *data, size_t n)
{
    const unsigned char *p = data;
    uint64_t word = 0;
    for (; n >= sizeof word; n -= sizeof word, p += sizeof word) {
        memcpy(&word, p, sizeof word);
        mix_word(h, word);
    }
    word = n;
    for (; n > 0; n--)
        word = word << 8 | *p++;
    mix_word(h, word);
}

static void mix_dictionary(uint64_t *h)
{
    size_t n = 0;
    const struct dict_element *e = dict_elements(&n);
    for (size_t i = 0; i < n; i++) {
        mix(h, e[i].name, strlen(e[i].name) + 1);
        for (size_t k = 0; k < e[i].attr_count; k++) {
            const struct dict_attr *a = &e[i].attrs[k];
            int shape[] = {(int)a->type, (int)a->dim};
            mix(h, a->name, strlen(a->name) + 1);
            mix(h, shape, sizeof shape);
        }
    }
}

static bool mix_folder(uint64_t *h, const char *data_dir, const char *folder)
{
    struct sbuf path = SBUF_INIT, text = SBUF_INIT;
    char **names = NULL;
    size_t count = 0;
    sbuf_printf(&path, "%s/%s", data_dir, folder);
    bool ok =
        !path.failed && (!file_is_dir(path.s) || file_list(path.s, ".xml", &names, &count, NULL));
    int fd = ok && count > 0 ? open(path.s, O_RDONLY | O_DIRECTORY | O_CLOEXEC) : -1;
    for (size_t i = 0; ok && i < count; i++) {
        sbuf_clear(&text);
        ok = fd >= 0 && file_read_in(fd, names[i], SHEET_MAX_BYTES, &text);
        if (ok) {
            mix(h, names[i], strlen(names[i]) + 1);
            mix(h, text.s, text.len);
        }
    }
    for (size_t i = 0; i < count; i++)
        mem_free(names[i]);
    if (fd >= 0)
        close(fd);
    mem_free(names);
    sbuf_free(&path);
    sbuf_free(&text);
    return ok;
}

/* Each topic is a folder. */
static bool mix_rules(uint64_t *h, const char *data_dir)
{
    static const char rules[] = "../rules";
    struct sbuf path = SBUF_INIT;
    char **names = NULL;
    size_t count = 0;
    sbuf_printf(&path, "%s/%s", data_dir, rules);
    bool ok = !path.failed && (!file_is_dir(path.s) || file_list(path.s, "", &names, &count, NULL));
    ok = ok && mix_folder(h, data_dir, rules);
    for (size_t i = 0; i < count; i++) {
        sbuf_clear(&path);
        sbuf_printf(&path, "%s/%s", rules, names[i]);
        ok = ok && !path.failed && mix_folder(h, data_dir, path.s);
        mem_free(names[i]);
    }
    mem_free(names);
    sbuf_free(&path);
    return ok;
}

static bool fingerprint(const char *data_dir, int64_t *out)
{
    uint64_t h = FNV_OFFSET;
    int layout = IMAGE_LAYOUT;
    mix(&h, &layout, sizeof layout);
    mix_dictionary(&h);
    if (!mix_folder(&h, data_dir, "catalogue") || !mix_folder(&h, data_dir, "limits") ||
        !mix_folder(&h, data_dir, "facts") || !mix_rules(&h, data_dir))
        return false;
    *out = (int64_t)h;
    return true;
}

/* The whole file in memory of SQLite's, which frees it; NULL when it cannot be read. */
static unsigned char *read_bytes(const char *path, size_t *n)
{
    unsigned char *bytes = NULL;
    int fd = file_open(path, NULL);
    FILE *f = fd < 0 ? NULL : fdopen(fd, "rb");
    if (!f)
        return NULL;
    if (fseek(f, 0, SEEK_END) == 0) {
        long size = ftell(f);
        if (size > 0 && (unsigned long)size <= IMAGE_MAX_BYTES && fseek(f, 0, SEEK_SET) == 0)
            bytes = sqlite3_malloc64((sqlite3_uint64)size);
        *n = bytes ? fread(bytes, 1, (size_t)size, f) : 0;
        if (bytes && *n != (size_t)size) {
            sqlite3_free(bytes);
            bytes = NULL;
        }
    }
    (void)fclose(f);
    return bytes;
}

/* The image opened in memory, read-only; NULL when it is absent, damaged or stale. */
static sqlite3 *image_open(const char *image, int64_t wanted)
{
    size_t n = 0;
    unsigned char *copy = read_bytes(image, &n);
    sqlite3 *db = NULL;
    sqlite3_stmt *st = NULL;
    bool ok = false;
    if (!copy)
        return NULL;
    if (sqlite3_open_v2(":memory:", &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, NULL) !=
        SQLITE_OK) {
        sqlite3_free(copy);
        goto out;
    }
    /* From here on SQLite owns the copy, also when it refuses it. */
    if (sqlite3_deserialize(db, "main", copy, (sqlite3_int64)n, (sqlite3_int64)n,
                            SQLITE_DESERIALIZE_FREEONCLOSE | SQLITE_DESERIALIZE_READONLY) !=
        SQLITE_OK)
        goto out;
    ok = sqlite3_prepare_v2(db, "select fingerprint from lw_image", -1, &st, NULL) == SQLITE_OK &&
         sqlite3_step(st) == SQLITE_ROW && sqlite3_column_int64(st, 0) == wanted;
out:
    sqlite3_finalize(st);
    if (!ok) {
        sqlite3_close(db);
        db = NULL;
    }
    return db;
}

bool image_fits(const char *data_dir, const char *image)
{
    int64_t now = 0;
    sqlite3 *db = fingerprint(data_dir, &now) ? image_open(image, now) : NULL;
    bool fits = db != NULL;
    sqlite3_close(db);
    return fits;
}

static struct store *from_image(const char *data_dir, const char *image, struct diags *d)
{
    int64_t now = 0;
    sqlite3 *source = fingerprint(data_dir, &now) ? image_open(image, now) : NULL;
    struct store *s = source ? store_new_from(source, d) : NULL;
    sqlite3_close(source);
    return s;
}

struct store *store_with_catalogue(const char *data_dir, const char *image, struct diags *d)
{
    size_t fatal = diags_count_level(d, DIAG_FATAL);
    struct store *s = image ? from_image(data_dir, image, d) : NULL;
    if (s || diags_oom(d) || diags_count_level(d, DIAG_FATAL) > fatal)
        return s; /* an image that fits and cannot be copied is trouble, not a stale image */
    s = store_new(d);
    if (s && !catalogue_load(store_db(s), data_dir, d)) {
        store_free(s);
        s = NULL;
    }
    return s;
}

static bool write_bytes(const char *path, const void *bytes, size_t n)
{
    FILE *f = fopen(path, "wb");
    if (!f)
        return false;
    bool ok = fwrite(bytes, 1, n, f) == n;
    return fclose(f) == 0 && ok;
}

static const char make_kept[] =
    "create table if not exists lw_kept(name text primary key, body text)";

bool image_keep(struct store *s, const char *name, const char *text, struct diags *d)
{
    sqlite3_stmt *st = NULL;
    sqlite3 *db = store_db(s);
    bool ok = sqlite3_exec(db, make_kept, NULL, NULL, NULL) == SQLITE_OK &&
              sqlite3_prepare_v2(db, "insert or replace into lw_kept values(?1, ?2)", -1, &st,
                                 NULL) == SQLITE_OK &&
              sqlite3_bind_text(st, 1, name, -1, SQLITE_STATIC) == SQLITE_OK &&
              sqlite3_bind_text(st, 2, text, -1, SQLITE_STATIC) == SQLITE_OK &&
              sqlite3_step(st) == SQLITE_DONE;
    sqlite3_finalize(st);
    return ok || store_trouble(s, "cannot keep a text in the image", d);
}

char *image_kept(struct store *s, const char *name)
{
    sqlite3_stmt *st = NULL;
    char *text = NULL;
    if (sqlite3_prepare_v2(store_db(s), "select body from lw_kept where name = ?1", -1, &st,
                           NULL) == SQLITE_OK &&
        sqlite3_bind_text(st, 1, name, -1, SQLITE_STATIC) == SQLITE_OK &&
        sqlite3_step(st) == SQLITE_ROW)
        text = mem_strdup((const char *)sqlite3_column_text(st, 0));
    sqlite3_finalize(st);
    return text;
}

bool image_write(const char *data_dir, const char *image, image_add *add, struct diags *d)
{
    int64_t now = 0;
    sqlite3_int64 size = 0;
    unsigned char *bytes = NULL;
    char sql[160];
    struct store *s = store_with_catalogue(data_dir, NULL, d);
    bool ok = s && (!add || add(s, data_dir, d)) && fingerprint(data_dir, &now);
    if (ok) {
        snprintf(sql, sizeof sql,
                 "create table lw_image(fingerprint integer); insert into lw_image values(%lld);"
                 "commit; vacuum",
                 (long long)now);
        ok = sqlite3_exec(store_db(s), sql, NULL, NULL, NULL) == SQLITE_OK;
    }
    if (ok)
        bytes = sqlite3_serialize(store_db(s), "main", &size, 0);
    ok = bytes && write_bytes(image, bytes, (size_t)size);
    if (!ok)
        diags_add(d, DIAG_FATAL, "image", image, 0, 0, NULL, "cannot write the catalogue's image");
    sqlite3_free(bytes);
    store_free(s);
    return ok;
}
