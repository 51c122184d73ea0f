/* campaign - makes allocations, or calls on files, fail one at a time over many commands.
 *
 *   campaign [--io] [--even N] [--paths N] [--once] [--only WORDS] [--every N] SRCDIR BUILDDIR
 *
 * Each failure happens once, and again from then on. Afterwards the command ended as if nothing had
 * happened, with the same output, or with 3 and a message; nothing was killed by a signal; every
 * block and file was given back; a book holds the old entries or the new ones and verifies; no file
 * is left over. The table says how many calls a run makes and how many of them were failed. */
#include "forkserver.h"
#include "text/base.h"
#include "text/number.h"
#include "text/utf8.h"

struct arguments {
    struct plan plan;
    const char *only, *srcdir, *builddir;
    long long every;
};

static bool number(const char *s, unsigned long *out)
{
    long long v;
    bool ok = s && number_integer(s, &v) && v >= 0;
    if (ok)
        *out = (unsigned long)v;
    return ok;
}

static bool read_arguments(struct arguments *a, int argc, char **argv)
{
    int i = 1;
    unsigned long every = 1;
    a->plan.even = 300;
    a->plan.paths = 2000;
    for (; i < argc && argv[i][0] == '-'; i++) {
        const char *value = i + 1 < argc ? argv[i + 1] : NULL;
        if (str_eq(argv[i], "--io"))
            a->plan.io = true;
        else if (str_eq(argv[i], "--once"))
            a->plan.once_only = true;
        else if (str_eq(argv[i], "--even") && number(value, &a->plan.even))
            i++;
        else if (str_eq(argv[i], "--paths") && number(value, &a->plan.paths))
            i++;
        else if (str_eq(argv[i], "--every") && number(value, &every) && every > 0)
            i++;
        else if (str_eq(argv[i], "--only") && value)
            a->only = argv[++i];
        else
            return false;
    }
    a->every = (long long)every;
    if (argc - i != 2)
        return false;
    a->srcdir = argv[i];
    a->builddir = argv[i + 1];
    return true;
}

static void add(struct result *all, const struct result *r)
{
    for (int i = 0; i < SITES; i++)
        all->calls[i] += r->calls[i];
    all->paths += r->paths;
    all->places += r->places;
    all->children += r->children;
    all->told += r->told;
    all->refused += r->refused;
    all->same += r->same;
    all->old_book += r->old_book;
    all->new_book += r->new_book;
    all->journals += r->journals;
    all->wrong += r->wrong;
}

static void print_head(bool io)
{
    printf("%-18s", "scenario");
    for (int i = io ? SITE_FIRST_IO : 0; i < (io ? SITES : SITE_FIRST_IO); i++)
        printf(" %8s", site_names[i]);
    printf(" %7s %7s %8s %7s %7s %7s %7s %7s %5s\n", "paths", "failed", "runs", "exit 3", "exit 2",
           "as ever", "old", "new", "wrong");
}

static void print_row(const char *name, const struct result *r, bool io)
{
    printf("%-18s", name);
    for (int i = io ? SITE_FIRST_IO : 0; i < (io ? SITES : SITE_FIRST_IO); i++)
        printf(" %8lu", r->calls[i]);
    printf(" %7lu %7lu %8lu %7lu %7lu %7lu %7lu %7lu %5lu\n", r->paths, r->places, r->children,
           r->told, r->refused, r->same, r->old_book, r->new_book, r->wrong);
    fflush(stdout);
}

int main(int argc, char **argv)
{
    struct arguments a = {0};
    struct result all = {0};
    unsigned long ran = 0, broken = 0;
    if (!read_arguments(&a, argc, argv)) {
        fprintf(stderr, "usage: campaign [--io] [--even N] [--paths N] [--once] [--only WORDS] "
                        "[--every N] SRCDIR BUILDDIR\n");
        return 2;
    }
    if (!forkserver_start(a.srcdir, a.builddir)) {
        fprintf(stderr, "campaign: the folder or the first book could not be made\n");
        return 2;
    }
    print_head(a.plan.io);
    for (size_t i = 0; i < scenario_count; i++) {
        struct result r = {0};
        if (a.only ? !str_eq(a.only, scenarios[i].name) : i % (size_t)a.every != 0)
            continue;
        ran++;
        if (!forkserver_run(&scenarios[i], &a.plan, &r))
            broken++;
        print_row(scenarios[i].name, &r, a.plan.io);
        add(&all, &r);
    }
    print_row("all", &all, a.plan.io);
    printf("%lu commands, %lu calls failed in %lu runs; %lu wrong, %lu commands did not run; %lu "
           "journals were left to the next opening\n",
           ran, all.places, all.children, all.wrong, broken, all.journals);
    forkserver_stop();
    return all.wrong == 0 && broken == 0 && all.places > 0 ? 0 : 1;
}
