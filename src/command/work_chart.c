/* work_chart.c - the chart of --svg, into a file that is not there yet. */
#include "text/base.h"

#include "command/work.h"

bool work_chart_write(struct work *w, const struct chart *c)
{
    const char *path =
        option_known(&w->s->options, "svg") ? option_text(&w->s->options, "svg") : NULL;
    struct sbuf out = SBUF_INIT;
    FILE *f = NULL;
    bool ok = false;

    if (path == NULL)
        return true;
    chart_svg(c, true, &out);
    if (out.failed) {
        diags_out_of_memory(w->s->diags);
        goto out;
    }
    f = fopen(path, "wx");
    ok = f != NULL && fwrite(out.s, 1, out.len, f) == out.len;
    if (f != NULL && fclose(f) != 0)
        ok = false;
    if (!ok)
        diags_add(w->s->diags, DIAG_FATAL, "cannot-write", path, 0, 0,
                  errno == EEXIST ? "no file is overwritten: name another" : NULL,
                  "the chart cannot be written: %s", strerror(errno));
    else if (!w->json)
        answer_text(w, "chart", "chart written to", path);
out:
    sbuf_free(&out);
    return ok;
}
