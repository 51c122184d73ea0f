#include "unit.h"

#include <fcntl.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#include "text/file.h"
#include "text/mem.h"

static char folder[64];
static struct diags *d;
static struct sbuf b = SBUF_INIT;

static const char *path(const char *name)
{
    static char out[128];
    snprintf(out, sizeof out, "%s/%s", folder, name);
    return out;
}

static void write_bytes(const char *name, const char *bytes, size_t n)
{
    FILE *f = fopen(path(name), "wb");
    ck_assert_ptr_nonnull(f);
    ck_assert_uint_eq(fwrite(bytes, 1, n, f), n);
    ck_assert_int_eq(fclose(f), 0);
}

static void begin(void)
{
    snprintf(folder, sizeof folder, "/tmp/lw-file-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    d = diags_new();
    sbuf_clear(&b);
}

static void end(void)
{
    diags_free(d);
    sbuf_free(&b);
    ck_assert_int_eq(rmdir(folder), 0);
}

static void refused(const char *p, const char *code)
{
    diags_free(d);
    d = diags_new();
    ck_assert(!file_read(p, 1000, &b, d));
    ck_assert_uint_eq(diags_count_level(d, DIAG_ERROR), 1);
    ck_assert_str_eq(diags_at(d, 0)->code, code);
    ck_assert_str_eq(diags_at(d, 0)->file, p);
    ck_assert_uint_eq(b.len, 0);
}

START_TEST(reads_a_whole_file)
{
    begin();
    write_bytes("a", "one\ntwo", 7);
    ck_assert(file_read(path("a"), 7, &b, d));
    ck_assert_str_eq(b.s, "one\ntwo");
    ck_assert_uint_eq(diags_count(d), 0);
    sbuf_clear(&b);
    write_bytes("a", "", 0);
    ck_assert(file_read(path("a"), 0, &b, d));
    ck_assert_str_eq(b.s, "");
    ck_assert_int_eq(unlink(path("a")), 0);
    end();
}
END_TEST

START_TEST(reads_more_than_one_block)
{
    enum { SIZE = 200001 };
    begin();
    char *big = mem_alloc(SIZE);
    memset(big, 'x', SIZE);
    big[SIZE - 1] = 'y';
    write_bytes("big", big, SIZE);
    ck_assert(file_read(path("big"), SIZE, &b, d));
    ck_assert_uint_eq(b.len, SIZE);
    ck_assert_int_eq(b.s[SIZE - 1], 'y');
    sbuf_clear(&b);
    ck_assert(!file_read(path("big"), SIZE - 1, &b, d));
    ck_assert_str_eq(diags_at(d, 0)->code, "too-large");
    mem_free(big);
    ck_assert_int_eq(unlink(path("big")), 0);
    end();
}
END_TEST

START_TEST(only_plain_files)
{
    begin();
    refused(folder, "not-a-file");
    refused("/dev/null", "not-a-file");
    refused(path("nothing-here"), "cannot-read");
    ck_assert_int_eq(mkfifo(path("fifo"), 0600), 0);
    refused(path("fifo"), "not-a-file"); /* and no writer is waited for */
    ck_assert_int_eq(unlink(path("fifo")), 0);
    ck_assert_int_eq(symlink("/dev/zero", path("link")), 0);
    refused(path("link"), "not-a-file");
    ck_assert_int_eq(unlink(path("link")), 0);
    end();
}
END_TEST

START_TEST(sockets_are_refused)
{
    begin();
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    snprintf(address.sun_path, sizeof address.sun_path, "%s/s", folder);
    int fd = socket(AF_UNIX, SOCK_STREAM, 0);
    ck_assert_int_ge(fd, 0);
    ck_assert_int_eq(bind(fd, (const struct sockaddr *)&address, sizeof address), 0);
    refused(path("s"), "not-a-file");
    close(fd);
    ck_assert_int_eq(unlink(path("s")), 0);
    end();
}
END_TEST

START_TEST(a_zero_byte_is_no_text)
{
    begin();
    write_bytes("utf16", "a\0b\0", 4);
    ck_assert(!file_read(path("utf16"), 100, &b, d));
    ck_assert_str_eq(diags_at(d, 0)->code, "not-text");
    ck_assert_ptr_nonnull(strstr(diags_at(d, 0)->message, "byte 2"));
    ck_assert_int_eq(unlink(path("utf16")), 0);
    end();
}
END_TEST

START_TEST(out_of_memory_is_told)
{
    begin();
    write_bytes("a", "text", 4);
    mem_fail_at(1, 0);
    ck_assert(!file_read(path("a"), 100, &b, d));
    mem_fail_at(0, 0);
    ck_assert(diags_oom(d));
    ck_assert_int_eq(unlink(path("a")), 0);
    end();
}
END_TEST

START_TEST(names_are_sorted_and_chosen)
{
    static const char *const files[] = {"b.xml", "a.xml", "B.xml", "c.csv", ".hidden.xml", "xml"};
    char **names;
    size_t n;
    begin();
    for (size_t i = 0; i < LW_COUNT(files); i++)
        write_bytes(files[i], "", 0);
    ck_assert(file_list(folder, ".xml", &names, &n, d));
    ck_assert_uint_eq(n, 3);
    ck_assert_str_eq(names[0], "B.xml"); /* byte order, whatever the locale sorts by */
    ck_assert_str_eq(names[1], "a.xml");
    ck_assert_str_eq(names[2], "b.xml");
    for (size_t i = 0; i < n; i++)
        mem_free(names[i]);
    mem_free(names);
    for (unsigned long k = 1; k < 6; k++) { /* no leak and no half a list when memory runs out */
        mem_fail_at(k, 0);
        bool ok = file_list(folder, ".xml", &names, &n, d);
        bool hit = mem_count() >= k;
        mem_fail_at(0, 0);
        ck_assert_int_eq(ok, !hit);
        for (size_t i = 0; i < n; i++)
            mem_free(names[i]);
        mem_free(names);
    }
    for (size_t i = 0; i < LW_COUNT(files); i++)
        ck_assert_int_eq(unlink(path(files[i])), 0);
    ck_assert(file_list(folder, ".xml", &names, &n, d));
    ck_assert_uint_eq(n, 0);
    mem_free(names);
    ck_assert(!file_list(path("none"), ".xml", &names, &n, d));
    ck_assert(file_is_dir(folder));
    ck_assert(!file_is_dir("/dev/null"));
    ck_assert(!file_is_dir(path("none")));
    end();
}
END_TEST

UNIT_MAIN("text/file", reads_a_whole_file, reads_more_than_one_block, only_plain_files,
          sockets_are_refused, a_zero_byte_is_no_text, out_of_memory_is_told,
          names_are_sorted_and_chosen)
