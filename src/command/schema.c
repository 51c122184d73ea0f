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
    schema_print(&b);
    if (b.failed)
        status = session_trouble(s);
    else
        session_write(s, b.s, b.len);
    sbuf_free(&b);
    return status;
}

const struct command command_schema = {
    .name = "schema",
    .summary = "print the RELAX NG schema of record files",
    .about = "Prints the schema of XML record files, made from the same dictionary as the reader. "
             "Any validator of RELAX NG takes it. It says which elements and attributes there "
             "are; whether a quantity makes sense only the reader can say.",
    .examples = "  lotward schema > lotward.rng\n",
    .run = run,
};
