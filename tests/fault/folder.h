/* folder.h - the folder a scenario works in: its files kept aside, compared and put back.
 *
 * The files a run has open are kept under a second name, so that putting one back gives the same
 * file and not a copy. Folders inside it are emptied and left out. */
#ifndef LW_TESTS_FAULT_FOLDER_H
#define LW_TESTS_FAULT_FOLDER_H

#include <stdbool.h>
#include <stddef.h>

enum { FOLDER_FILES = 16, FOLDER_FDS = 64, FOLDER_LOG_FD = 9 /* never put back */ };

struct folder_file {
    char name[64];
    unsigned char *bytes;
    size_t size;
};

struct folder {
    struct folder_file files[FOLDER_FILES];
    size_t count;
    long offsets[FOLDER_FDS]; /* of the open files; -1: not a plain file */
};

/* dir: the folder; keep: a folder on the same disk for the second names. */
bool folder_take(struct folder *f, const char *dir, const char *keep);
bool folder_put_back(struct folder *f, const char *dir, const char *keep);
void folder_forget(struct folder *f, const char *keep);
/* The names in the folder, sorted, a blank between. */
void folder_list(const char *dir, char *out, size_t size);
void folder_empty(const char *dir);
bool folder_copy(const char *from, const char *to);

#endif
