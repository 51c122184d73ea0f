/* image.h - the shipped catalogue, read once at build time and kept as one SQLite file, with the
 * empty tables of the facts, and the sheets and rules as they were read.
 *
 * Reading some eighty sheets costs fifty milliseconds at every start; copying this image costs one.
 * The sheets stay the truth: an image is used only when its fingerprint, taken over every byte of
 * the sheets and the layout of the record tables, is that of the sheets found now; otherwise they
 * are read. It is never used for a folder named with --data. */
#ifndef LW_RECORD_IMAGE_H
#define LW_RECORD_IMAGE_H

#include "record/store.h"

/* A store with the catalogue of data_dir loaded, from `image` when that fits (NULL: never). NULL
 * with a diagnostic when the sheets cannot be read either. */
struct store *store_with_catalogue(const char *data_dir, const char *image, struct diags *d);
/* What other layers have to add to an image; NULL: nothing. false with a diagnostic. */
typedef bool image_add(struct store *s, const char *data_dir, struct diags *d);
/* Reads the sheets of data_dir and writes the image. false with a diagnostic. */
bool image_write(const char *data_dir, const char *image, image_add *add, struct diags *d);
/* Keeps a text of another layer's in the store that becomes an image, by name; and gives it back
 * from a store that came from one (NULL: there is none; mem_free). */
bool image_keep(struct store *s, const char *name, const char *text, struct diags *d);
char *image_kept(struct store *s, const char *name);
/* Would the image be used? */
bool image_fits(const char *data_dir, const char *image);

#endif
