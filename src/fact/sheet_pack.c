/* sheet_pack.c - the sheets as they were read at build time. */
#include "text/base.h"

#include "fact/sheet.h"
#include "text/mem.h"
#include "text/pack.h"

/* The columns' texts; the file is told apart because its folder may be another one later. */
enum { COLUMN_TEXTS = 7, SHEET_TEXTS = 7 };

static void column_texts(struct fact_column *c, char **out[COLUMN_TEXTS])
{
    char **const all[COLUMN_TEXTS] = {&c->name,  &c->label, &c->unit,   &c->meaning,
                                      &c->empty, &c->from,  &c->partial};
    memcpy(out, all, sizeof all);
}

static void sheet_texts(struct fact_sheet *s, char **out[SHEET_TEXTS])
{
    char **const all[SHEET_TEXTS] = {&s->name,    &s->row, &s->sql, &s->kind,
                                     &s->subject, &s->lot, &s->key};
    memcpy(out, all, sizeof all);
}

void sheet_pack(struct fact_sheet *s, struct sbuf *b)
{
    char **texts[SHEET_TEXTS], **column[COLUMN_TEXTS];
    const char *slash = strrchr(s->file, '/');
    pack_text(b, slash ? slash + 1 : s->file);
    sheet_texts(s, texts);
    for (size_t i = 0; i < LW_COUNT(texts); i++)
        pack_text(b, *texts[i]);
    pack_number(b, s->sql_line);
    pack_number(b, s->alone);
    pack_number(b, (long)s->column_count);
    for (size_t i = 0; i < s->column_count; i++) {
        column_texts(&s->columns[i], column);
        for (size_t k = 0; k < LW_COUNT(column); k++)
            pack_text(b, *column[k]);
    }
}

struct fact_sheet *sheet_unpack(struct pack *in, const char *dir)
{
    char **texts[SHEET_TEXTS], **column[COLUMN_TEXTS];
    struct sbuf path = SBUF_INIT;
    struct fact_sheet *s = mem_calloc(1, sizeof *s);
    char *name = unpack_text(in);
    if (!s || !name) {
        mem_free(s);
        mem_free(name);
        in->failed = true;
        return NULL;
    }
    sbuf_printf(&path, "%s/%s", dir, name);
    mem_free(name);
    s->file = sbuf_take(&path);
    sheet_texts(s, texts);
    for (size_t i = 0; i < LW_COUNT(texts); i++)
        *texts[i] = unpack_text(in);
    s->sql_line = unpack_number(in);
    s->alone = unpack_number(in) != 0;
    size_t count = (size_t)unpack_number(in);
    s->columns = in->failed ? NULL : mem_calloc(count ? count : 1, sizeof *s->columns);
    in->failed = in->failed || !s->columns || !s->file;
    for (; !in->failed && s->column_count < count; s->column_count++) {
        column_texts(&s->columns[s->column_count], column);
        for (size_t k = 0; k < LW_COUNT(column); k++)
            *column[k] = unpack_text(in);
    }
    if (in->failed) {
        sheet_free(s);
        s = NULL;
    }
    return s;
}
