/* schema.c - lotward schema: the record schema, printed from the dictionary. */
#include "text/base.h"

#include "record/schema.h"
#include "command/session.h"

static enum exit_status run(struct session *s)
{
    struct sbuf b = SBUF_INIT;
    enum exit_status status = STATUS_CLEAN;

    if (s->name_count > 0)
        return session_usage(s, NULL, "lotward schema takes no operands");
    if (option_flag(&s->options, "exact"))
        schema_print_exact(&b);
    else
        schema_print(&b);
    if (b.failed)
        status = session_trouble(s);
    else
        session_write(s, b.s, b.len);
    sbuf_free(&b);
    return status;
}

static const struct option_spec options[] = {
    {"exact", 0, OPTION_FLAG, NULL, NULL,
     "hold the words, codes, ids and date forms of every attribute too", 0, 0},
};

const struct command command_schema = {
    .name = "schema",
    .summary = "print the RELAX NG schema of record files",
    .about =
        "Prints the schema of XML record files, made from the same dictionary as the reader. "
        "Any validator of RELAX NG takes it. It says which elements and attributes there "
        "are; whether a value makes sense only the reader can say. With --exact also the "
        "words, codes, ids and date forms of every attribute: for editors, as validators built "
        "on libxml2 take twice as long with every attribute of an element.",
    .examples = "  lotward schema > lotward.rng\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .run = run,
};
