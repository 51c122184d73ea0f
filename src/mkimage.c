/* mkimage DATA-DIR IMAGE - reads the shipped sheets once, at build or install time; does nothing
 * when the image is up to date. See record/image.h. */
#include "text/base.h"

#include "fact/fact.h"
#include "record/image.h"
#include "rule/rule.h"
#include "text/mem.h"

static bool add_layers(struct store *s, const char *data_dir, struct diags *d)
{
    return fact_prepare(s, data_dir, d) && rule_set_keep(s, data_dir, d);
}

int main(int argc, char **argv)
{
    int status = EXIT_FAILURE;
    if (argc != 3) {
        fputs("usage: mkimage DATA-DIR IMAGE\n", stderr);
        return status;
    }
    struct diags *d = mem_install() == 0 ? diags_new() : NULL;
    if (d && (image_fits(argv[1], argv[2]) || image_write(argv[1], argv[2], add_layers, d)))
        status = EXIT_SUCCESS;
    struct sbuf b = SBUF_INIT;
    for (size_t i = 0; d && i < diags_count(d); i++) {
        sbuf_clear(&b);
        diag_format(diags_at(d, i), &b);
        fprintf(stderr, "mkimage: %s\n", b.s);
    }
    sbuf_free(&b);
    diags_free(d);
    return status;
}
