/* data_dir.c - where the rules and the data are.
 *
 * In this order: --data DIR; the source tree, when the program runs from the tree it was built in;
 * the share folder beside the program's own folder; the folder given to configure. */
#include "text/base.h"

#include <unistd.h>

#include "command/session.h"
#include "text/file.h"
#include "text/mem.h"
#include "text/utf8.h"

enum { PATH_BYTES = 4096 };

static char *join(const char *dir, const char *name)
{
    struct sbuf b = SBUF_INIT;

    sbuf_printf(&b, "%s/%s", dir, name);
    return sbuf_take(&b);
}

/* A root holds both folders. `image_dir` is where the catalogue's image lies; NULL: use none. */
static bool try_root(struct session *s, const char *root, const char *image_dir)
{
    char *data = join(root, "data"), *rules = join(root, "rules");

    if (data != NULL && rules != NULL && file_is_dir(data) && file_is_dir(rules)) {
        s->data_dir = data;
        s->rules_dir = rules;
        s->image = image_dir != NULL ? join(image_dir, "catalogue.db") : NULL;
        return true;
    }
    mem_free(data);
    mem_free(rules);
    return false;
}

/* Folder of the running program; false where the system does not tell. */
static bool own_folder(char *out, size_t size)
{
    ssize_t n = readlink("/proc/self/exe", out, size - 1);
    char *slash;

    if (n <= 0 || (size_t)n >= size - 1)
        return false;
    out[n] = '\0';
    slash = strrchr(out, '/');
    if (slash == NULL)
        return false;
    *slash = '\0';
    return true;
}

bool session_find_data(struct session *s)
{
    const char *asked = option_text(&s->options, "data");
    char folder[PATH_BYTES];
    bool found = false;

    if (asked != NULL) {
        if (try_root(s, asked, NULL))
            return true;
        diags_add(s->diags, DIAG_FATAL, "no-data", NULL, 0, 0,
                  "name a folder that holds the folders 'data' and 'rules'",
                  "--data %s: no rules and data there", asked);
        return false;
    }
    if (own_folder(folder, sizeof folder)) {
        if (str_eq(folder, LW_BUILDDIR))
            found = try_root(s, LW_SRCDIR, LW_BUILDDIR);
        if (!found) {
            char *share = join(folder, "../share/lotward");

            found = share != NULL && try_root(s, share, share);
            mem_free(share);
        }
    }
    found = found || try_root(s, PKGDATADIR, PKGDATADIR);
    if (!found)
        diags_add(s->diags, DIAG_FATAL, "no-data", NULL, 0, 0, "name their folder with --data DIR",
                  "no rules and data in %s", PKGDATADIR);
    return found;
}
