#define _GNU_SOURCE
#include "forkserver.h"
#include "command/command.h"
#include "folder.h"
#include "places.h"
#include "text/base.h"
#include "text/mem.h"
#include "verifier.h"

#include <execinfo.h>
#include <fcntl.h>
#include <libxml/parser.h>
#include <signal.h>
#include <sqlite3.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

enum { CPU_SECONDS = 20, TEXT_BYTES = 1 << 20, PATH_SIZE = 300, LIST_BYTES = 1024 };

const char *const site_names[SITES] = {"own",    "SQLite", "libxml2", "PCRE2",    "open",
                                       "read",   "write",  "sync",    "truncate", "lock",
                                       "delete", "link",   "look",    "close"};

/* What the processes of one scenario share. */
struct shared {
    struct result result;
    struct places places;
    long leaked;
    int fds;
};
static struct shared *shared;

static struct {
    const struct scenario *scenario;
    const struct plan *plan;
    bool recording, serving, child, on; /* on: from then on */
    unsigned long n;                    /* calls counted so far */
    size_t next;                        /* chosen place */
    int fds;                            /* open when it began */
} now;

/* The run as it ends when nothing fails. */
static struct {
    int status;
    char *out, *err;
    char list[LIST_BYTES], list_before[LIST_BYTES];
    long long before, after;
} good;

static char base[64], srcdir_cases[PATH_SIZE], exe[PATH_SIZE];

static const char *in_base(const char *name)
{
    static char path[4][2 * PATH_SIZE];
    static int turn;
    turn = (turn + 1) % 4;
    assert(strlen(base) + strlen(name) + 2 < sizeof path[0]);
    snprintf(path[turn], sizeof path[0], "%s/%.*s", base, 2 * PATH_SIZE - 80, name);
    return path[turn];
}

/* ---- files of the run ---- */

/* Digests and times of filing differ from run to run. */
static void mask(char *s)
{
    for (char *p = s; *p; p++) {
        size_t n = strspn(p, "0123456789abcdef");
        if (n >= 12)
            memset(p, '#', n);
        else if (n == 4 && strspn(p + 5, "0123456789-T:") >= 14 && p[4] == '-')
            memset(p, '#', 19);
        if (n > 0)
            p += n - 1;
    }
}

static char *text_of(const char *path)
{
    char *s = calloc(1, TEXT_BYTES + 1);
    int fd = open(path, O_RDONLY | O_CLOEXEC);
    if (s && fd >= 0 && read(fd, s, TEXT_BYTES) < 0)
        s[0] = '\0';
    if (fd >= 0)
        close(fd);
    if (s)
        mask(s);
    return s;
}

static void redirect(int to, const char *path)
{
    int fd = open(path, O_RDWR | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
    if (fd < 0 || dup2(fd, to) < 0)
        _exit(99);
    close(fd);
}

/* A child writes into a file of its own, which begins with what its parent had written. */
static void redirect_copy(int to, const char *path)
{
    char piece[4096];
    off_t at = 0;
    int from = dup(to);
    redirect(to, path);
    for (ssize_t n; (n = pread(from, piece, sizeof piece, at)) > 0; at += n)
        if (write(to, piece, (size_t)n) != n)
            _exit(99);
    close(from);
}

static int count_fds(void)
{
    int n = 0;
    for (int fd = 0; fd < FOLDER_FDS; fd++)
        n += fcntl(fd, F_GETFD) >= 0;
    return n;
}

/* ---- judging a child ---- */

static void wrong(enum site where, const char *fmt, ...) LW_PRINTF(2, 3);
static void wrong(enum site where, const char *fmt, ...)
{
    char text[600];
    va_list ap;
    va_start(ap, fmt);
    vsnprintf(text, sizeof text, fmt, ap);
    va_end(ap);
    shared->result.wrong++;
    dprintf(FOLDER_LOG_FD, "%s: call %lu (%s), %s: %s\n", now.scenario->name, now.n,
            site_names[where], now.on ? "from then on" : "once", text);
}

static bool judge_output(enum site where, int code)
{
    char *out = text_of(in_base("cout")), *err = text_of(in_base("cerr"));
    struct result *r = &shared->result;
    bool done = code == good.status && strcmp(out, good.out) == 0;
    if (done) {
        r->same++;
        if (strcmp(err, good.err) != 0)
            wrong(where, "exit %d as before, but on standard error: %.300s", code, err);
    } else if (code == STATUS_TROUBLE && err[0] &&
               (now.plan->io || strstr(err, "memory") != NULL)) {
        r->told++;
    } else if (code == STATUS_INPUT && err[0] && now.plan->io && where != SITE_WRITE) {
        r->refused++;
    } else {
        wrong(where, "exit %d, %s; on standard error: %.300s", code,
              strcmp(out, good.out) == 0 ? "the usual output" : "other output", err);
    }
    free(out);
    free(err);
    return done;
}

static bool empty_journal(const char *name)
{
    struct stat st;
    char path[3 * PATH_SIZE];
    snprintf(path, sizeof path, "%s/%s-journal", in_base("w"), name);
    return stat(path, &st) != 0 || unlink(path) == 0;
}

/* The book of the scenario, and that no other file is left. */
static void judge_folder(enum site where, bool done)
{
    char list[LIST_BYTES];
    struct result *r = &shared->result;
    struct verified v = verify_book("book");
    if (!v.whole || (v.entries != good.before && v.entries != good.after))
        wrong(where, "the book holds %lld entries: %s", v.entries, v.whole ? "whole" : v.why);
    else if (v.entries == good.after && good.after != good.before)
        r->new_book++;
    else
        r->old_book++;
    if (done && v.entries != good.after)
        wrong(where, "said done, but the book holds %lld entries", v.entries);
    folder_list(in_base("w"), list, sizeof list);
    if (strstr(list, "-journal") != NULL) {
        r->journals++;
        (void)empty_journal("book");
        (void)empty_journal("new");
        (void)empty_journal("copy");
        folder_list(in_base("w"), list, sizeof list);
    }
    if (strcmp(list, good.list_before) != 0 && strcmp(list, good.list) != 0)
        wrong(where, "left in the folder: %s", list);
    const char *made = now.scenario->made;
    if (made && access(in_base("w"), F_OK) == 0) {
        char path[3 * PATH_SIZE];
        snprintf(path, sizeof path, "w/%s", made);
        /* A disk that stays broken does not let a half-made file be removed either. */
        bool may_stay = now.plan->io && now.on && !done;
        if (!may_stay && access(in_base(path), F_OK) == 0 && !(v = verify_book(made)).whole)
            wrong(where, "%s does not verify: %s", made, v.why);
    }
}

static void judge(enum site where, int status)
{
    bool done = false;
    shared->result.children++;
    if (WIFSIGNALED(status)) {
        wrong(where, "killed by signal %d (%s)", WTERMSIG(status), strsignal(WTERMSIG(status)));
    } else {
        done = judge_output(where, WEXITSTATUS(status));
        if (shared->leaked != 0)
            wrong(where, "%ld blocks were not given back", shared->leaked);
        if (shared->fds != now.fds)
            wrong(where, "%d files were left open", shared->fds - now.fds);
    }
    if (now.scenario->writes)
        judge_folder(where, done);
}

/* ---- failing ---- */

enum { FRAMES = 16 };
static void *failed_at[FRAMES];
static int failed_frames;

/* Where it crashed, and what had failed before; for addr2line. */
static void on_crash(int sig)
{
    void *frames[FRAMES];
    int n = backtrace(frames, FRAMES);
    dprintf(FOLDER_LOG_FD, "crashed at\n");
    backtrace_symbols_fd(frames, n, FOLDER_LOG_FD);
    dprintf(FOLDER_LOG_FD, "after this failed\n");
    backtrace_symbols_fd(failed_at, failed_frames, FOLDER_LOG_FD);
    signal(sig, SIG_DFL);
    (void)raise(sig);
}

/* True in the child that has to fail. */
static bool attempt(enum site where, bool on)
{
    struct folder f;
    bool slept = interpose_asleep;
    interpose_asleep = true;
    now.on = on;
    if (!folder_take(&f, in_base("w"), in_base("keep")))
        _exit(98);
    shared->leaked = 0;
    shared->fds = now.fds;
    pid_t pid = fork();
    if (pid == 0) {
        struct rlimit limit = {CPU_SECONDS, CPU_SECONDS};
        now.child = true;
        failed_frames = backtrace(failed_at, FRAMES);
        (void)setrlimit(RLIMIT_CPU, &limit);
        signal(SIGSEGV, on_crash);
        signal(SIGABRT, on_crash);
        redirect_copy(STDOUT_FILENO, in_base("cout"));
        redirect_copy(STDERR_FILENO, in_base("cerr"));
        interpose_asleep = slept;
        return true;
    }
    int status = 0;
    if (pid < 0 || waitpid(pid, &status, 0) != pid)
        _exit(98);
    judge(where, status);
    if (!folder_put_back(&f, in_base("w"), in_base("keep")))
        _exit(98);
    folder_forget(&f, in_base("keep"));
    interpose_asleep = slept;
    return false;
}

bool fault_at(enum site where)
{
    if ((where >= SITE_FIRST_IO) != now.plan->io)
        return false;
    if (now.child)
        return now.on;
    now.n++;
    if (now.recording)
        places_note(&shared->places, where, now.n);
    if (!now.serving || now.next >= shared->places.chosen_count ||
        now.n != shared->places.chosen[now.next])
        return false;
    now.next++;
    shared->result.places++;
    return attempt(where, false) || (!now.plan->once_only && attempt(where, true));
}

static bool ask(enum mem_owner who, unsigned long n)
{
    (void)n;
    return fault_at((enum site)who);
}

/* ---- a run ---- */

extern void __gcov_dump(void) __attribute__((weak));

static void words_of(const struct scenario *s, int *argc, char **argv)
{
    static char paths[SCENARIO_WORDS][2 * PATH_SIZE];
    argv[0] = (char *)(uintptr_t) "lotward";
    for (*argc = 0; *argc < SCENARIO_WORDS && s->argv[*argc]; ++*argc) {
        const char *word = s->argv[*argc];
        argv[*argc + 1] = (char *)(uintptr_t)word;
        if (word[0] == '@') {
            snprintf(paths[*argc], sizeof paths[0], "%s/%s", srcdir_cases, word + 1);
            argv[*argc + 1] = paths[*argc];
        }
    }
    argv[++*argc] = NULL;
}

/* In a process of its own; does not come back. */
static void run_here(void)
{
    char *argv[SCENARIO_WORDS + 2];
    int argc;
    redirect(STDOUT_FILENO, in_base("out"));
    redirect(STDERR_FILENO, in_base("err"));
    if (chdir(in_base("w")) != 0)
        _exit(98);
    words_of(now.scenario, &argc, argv);
    now.fds = count_fds();
    if (!now.plan->io)
        mem_ask(ask);
    interpose_asleep = !now.plan->io;
    int status = command_main(argc, argv);
    interpose_asleep = true;
    mem_ask(NULL);
    xmlInitParser(); /* what was begun without it is cleaned up only after it */
    xmlCleanupParser();
    (void)sqlite3_shutdown();
    shared->leaked = mem_outstanding();
    shared->fds = count_fds();
    if (now.child && (shared->leaked != 0 || shared->fds != now.fds)) {
        dprintf(FOLDER_LOG_FD, "not given back after this failed\n");
        backtrace_symbols_fd(failed_at, failed_frames, FOLDER_LOG_FD);
    }
    if (__gcov_dump)
        __gcov_dump();
    _exit(status);
}

static bool reset(void)
{
    folder_empty(in_base("w"));
    folder_empty(in_base("keep"));
    return folder_copy(in_base("book"), in_base("w/book"));
}

static int run_apart(bool recording)
{
    int status = 0;
    if (!reset())
        return -1;
    now.recording = recording;
    now.serving = !recording;
    now.n = 0;
    now.next = 0;
    fflush(stdout);
    pid_t pid = fork();
    if (pid == 0)
        run_here();
    if (pid < 0 || waitpid(pid, &status, 0) != pid || !WIFEXITED(status))
        return -1;
    return WEXITSTATUS(status);
}

static bool learn(void)
{
    good.before = verify_book("book").entries;
    folder_list(in_base("w"), good.list_before, sizeof good.list_before);
    free(good.out);
    free(good.err);
    good.status = run_apart(true);
    good.out = text_of(in_base("out"));
    good.err = text_of(in_base("err"));
    struct verified v = verify_book("book");
    good.after = v.entries;
    folder_list(in_base("w"), good.list, sizeof good.list);
    return good.status >= 0 && good.status < 98 && v.whole && shared->leaked == 0;
}

bool forkserver_run(const struct scenario *s, const struct plan *p, struct result *out)
{
    now.scenario = s;
    now.plan = p;
    memset(shared, 0, sizeof *shared);
    if (!reset() || !learn()) {
        fprintf(stderr, "%s: exit %d, %ld blocks not given back: %.300s\n", s->name, good.status,
                shared->leaked, good.err ? good.err : "");
        return false;
    }
    places_choose(&shared->places, p->even, p->paths, shared->result.calls);
    shared->result.paths = shared->places.path_count;
    int status = run_apart(false);
    *out = shared->result;
    if (status != good.status)
        fprintf(stderr, "%s: the parent ended with %d, not %d\n", s->name, status, good.status);
    return status == good.status;
}

/* The first book is made by the program itself, before anything stands in its way. */
static bool make_book(void)
{
    int status = 0;
    pid_t pid = fork();
    if (pid == 0) {
        char records[2 * PATH_SIZE];
        snprintf(records, sizeof records, "%s/book-file/records.xml", srcdir_cases);
        redirect(STDOUT_FILENO, "/dev/null");
        execl(exe, "lotward", "file", "--book", in_base("book"), records, (char *)NULL);
        _exit(99);
    }
    return pid > 0 && waitpid(pid, &status, 0) == pid && status == 0;
}

bool forkserver_start(const char *srcdir, const char *builddir)
{
    const char *disk = access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp";
    snprintf(base, sizeof base, "%s/lw-fault-XXXXXX", disk);
    snprintf(srcdir_cases, sizeof srcdir_cases, "%s/tests/cli", srcdir);
    snprintf(exe, sizeof exe, "%s/lotward", builddir);
    interpose_exe = exe;
    shared = mmap(NULL, sizeof *shared, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (shared == MAP_FAILED || mkdtemp(base) == NULL || dup2(STDERR_FILENO, FOLDER_LOG_FD) < 0)
        return false;
    if (mkdir(in_base("w"), 0700) != 0 || mkdir(in_base("keep"), 0700) != 0 || !make_book() ||
        !reset() || chdir(in_base("w")) != 0 || mem_install() != 0 ||
        sqlite3_config(SQLITE_CONFIG_LOOKASIDE, 0, 0) != SQLITE_OK)
        return false;
    signal(SIGPIPE, SIG_IGN);
    places_start();
    return verifier_start();
}

void forkserver_stop(void)
{
    verifier_stop();
    folder_empty(base);
    (void)rmdir(base);
}
