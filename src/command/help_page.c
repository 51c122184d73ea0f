/* help_page.c - lotward help: the manual pages as plain text, without a manual program. */
#include "text/base.h"

#include "command/help.h"
#include "command/session.h"
#include "report/layout.h"
#include "report/mdoc.h"
#include "text/file.h"
#include "text/mem.h"
#include "text/utf8.h"

enum { PAGE_BYTES = 1 << 21, PATH_BYTES = 4096, NEAR_MOST = 2 };

/* The sections of the manual, in the order in which a topic is looked for. */
static const char *const sections[] = {"1", "5", "7"};

/* The folder man/ beside the folder data/. false: too long a path. */
static bool page_path(const struct session *s, const char *topic, const char *section, char *out)
{
    const char *slash = strrchr(s->data_dir, '/');
    int root = slash == NULL ? 0 : (int)(slash - s->data_dir);
    bool whole = str_eq(topic, "lotward");
    int n = snprintf(out, PATH_BYTES, "%.*s/man/%s%s.%s", root, s->data_dir,
                     whole ? "" : "lotward-", topic, section);

    return n > 0 && n < PATH_BYTES;
}

static bool there(const struct session *s, const char *topic, const char *section)
{
    char path[PATH_BYTES];
    FILE *f = page_path(s, topic, section, path) ? fopen(path, "r") : NULL;

    if (f != NULL)
        fclose(f);
    return f != NULL;
}

/* "lotward-audit.1" to "audit"; what is near enough to the topic goes into `near`. */
static void find_near(const struct session *s, const char *topic, const char *section, char *near,
                      size_t size, unsigned *best)
{
    static const char prefix[] = "lotward-";
    char dir[PATH_BYTES], suffix[8];
    char **names = NULL;
    size_t count = 0;

    if (!page_path(s, "lotward", section, dir))
        return;
    *strrchr(dir, '/') = '\0';
    snprintf(suffix, sizeof suffix, ".%s", section);
    if (!file_list(dir, suffix, &names, &count, NULL))
        return;
    for (size_t i = 0; i < count; i++) {
        char *name = names[i];
        unsigned distance;

        name[strlen(name) - strlen(suffix)] = '\0';
        if (str_starts(name, prefix))
            name += strlen(prefix);
        distance = str_distance(topic, name, NEAR_MOST);
        if (distance < *best) {
            *best = distance;
            snprintf(near, size, "did you mean '%s'?", name);
        }
        mem_free(names[i]);
    }
    mem_free(names);
}

static enum exit_status no_page(struct session *s, const char *topic)
{
    char near[96] = "lotward --help lists the commands and the topics";
    unsigned best = NEAR_MOST + 1;

    for (size_t i = 0; i < LW_COUNT(sections); i++) {
        if (there(s, topic, sections[i])) /* in another section than was asked for */
            return session_usage(s, "leave the section out, or give the right one",
                                 "there is no manual page '%s' in section %s", topic, s->names[0]);
        find_near(s, topic, sections[i], near, sizeof near, &best);
    }
    return session_usage(s, near, "there is no manual page '%s'", topic);
}

static enum exit_status print_page(struct session *s, const char *topic, const char *section)
{
    struct sbuf page = SBUF_INIT, out = SBUF_INIT;
    enum exit_status status = STATUS_CLEAN;
    char path[PATH_BYTES];

    if (!page_path(s, topic, section, path) || !file_read(path, PAGE_BYTES, &page, s->diags)) {
        sbuf_free(&page);
        return STATUS_TROUBLE;
    }
    mdoc_text_page(page.s, session_width(s), &out);
    for (size_t i = 0; i < LW_COUNT(sections); i++)
        if (!str_eq(sections[i], section) && there(s, topic, sections[i]))
            sbuf_printf(&out, "\nThere is another page: lotward help %s %s\n", sections[i], topic);
    if (page.failed || out.failed)
        status = session_trouble(s);
    else
        session_write(s, out.s, out.len);
    sbuf_free(&page);
    sbuf_free(&out);
    return status;
}

static enum exit_status run(struct session *s)
{
    bool numbered = s->name_count == 2;
    const char *topic = s->name_count == 0 ? NULL : s->names[s->name_count - 1];

    if (topic == NULL) {
        struct sbuf b = SBUF_INIT;

        help_commands(&b, session_width(s));
        session_write(s, b.s, b.len);
        sbuf_free(&b);
        return STATUS_CLEAN;
    }
    if (s->name_count > 2)
        return session_usage(s, "lotward help audit", "name one command or topic");
    if (strchr(topic, '/') != NULL || !ascii_alpha((unsigned char)topic[0]))
        return session_usage(s, "lotward --help lists the commands and the topics",
                             "there is no manual page '%s'", topic);
    if (!session_find_data(s))
        return STATUS_INPUT;
    if (str_starts(topic, "lotward-"))
        topic += strlen("lotward-");
    for (size_t i = 0; i < LW_COUNT(sections); i++)
        if ((!numbered || str_eq(sections[i], s->names[0])) && there(s, topic, sections[i]))
            return print_page(s, topic, sections[i]);
    return no_page(s, topic);
}

static const struct option_spec options[] = {
    {"width", 0, OPTION_INTEGER, "COLUMNS", NULL,
     "Line length, 60 to 200; default: the terminal's, else 80", REPORT_WIDTH_LEAST,
     REPORT_WIDTH_MOST},
    {"data", 0, OPTION_TEXT, "DIR", NULL, "Take the pages from the folder man in DIR", 0, 0},
};

const struct command command_help = {
    .name = "help",
    .summary = "print a page of the manual",
    .operands = "[SECTION] TOPIC",
    .about =
        "Prints the manual page of a command or a topic as plain text, where no manual "
        "program is installed. Topics: records, rules, facts, limits, sources, cautions. Where "
        "a command and a topic have the same name, put the section first: 1 for commands, 5 "
        "for files, 7 for the rest. Without a topic: all commands.",
    .examples = "  lotward help audit\n"
                "  lotward help records\n"
                "  lotward help 5 rules\n",
    .options = options,
    .option_count = LW_COUNT(options),
    .run = run,
};
