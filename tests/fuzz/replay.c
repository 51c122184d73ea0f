/* replay.c - a plain main for a fuzz target: runs every file named, and every file of a folder
 * named, once.
 *
 * Says how many ran; exit 1 when there was none, so that a lost folder of seeds is noticed. */
#include "fuzz.h"

#include "text/file.h"
#include "text/mem.h"

enum { SEED_BYTES_MAX = 1024 * 1024 };

static bool run_file(const char *path)
{
    FILE *f = fopen(path, "rb");
    if (!f)
        return false;
    uint8_t *all = mem_alloc(SEED_BYTES_MAX);
    fuzz_must(all != NULL, "memory");
    size_t n = fread(all, 1, SEED_BYTES_MAX, f);
    bool ok = !ferror(f);
    (void)fclose(f);
    /* A copy of its own size, so that a sanitizer sees a read past the end. */
    uint8_t *copy = mem_alloc(n ? n : 1);
    fuzz_must(copy != NULL, "memory");
    memcpy(copy, all, n);
    mem_free(all);
    fprintf(stderr, "%s\n", path); /* the last name before a crash is the input */
    if (ok)
        (void)LLVMFuzzerTestOneInput(copy, n);
    mem_free(copy);
    return ok;
}

static unsigned long run_folder(const char *dir)
{
    char **names = NULL;
    size_t count = 0;
    unsigned long ran = 0;
    struct sbuf path = SBUF_INIT;
    fuzz_must(file_list(dir, "", &names, &count, NULL), "a folder of seeds can be read");
    for (size_t i = 0; i < count; i++) {
        sbuf_clear(&path);
        sbuf_printf(&path, "%s/%s", dir, names[i]);
        fuzz_must(run_file(path.s), "a seed can be read");
        ran++;
        mem_free(names[i]);
    }
    mem_free(names);
    sbuf_free(&path);
    return ran;
}

int main(int argc, char **argv)
{
    unsigned long ran = 0;
    for (int i = 1; i < argc; i++)
        ran += file_is_dir(argv[i]) ? run_folder(argv[i]) : run_file(argv[i]);
    printf("%lu inputs\n", ran);
    return ran > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
