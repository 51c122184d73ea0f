/* dict_near.h - "did you mean": the nearest name, and small helpers over word lists. */
#ifndef LW_RECORD_DICT_NEAR_H
#define LW_RECORD_DICT_NEAR_H

#include "record/dictionary.h"

/* A search for the name nearest to `typed`. After near_start, offer candidates; `best` is "" while
 * none is near enough (one edit for words of one or two letters, two up to five, else three). */
struct near {
    const char *typed;
    char best[72];
    unsigned distance;
};

void near_start(struct near *n, const char *typed);
void near_offer(struct near *n, const char *name, size_t len);

/* The nearest word, attribute or element, pointing into n; NULL when none is near. */
const char *near_word(struct near *n, const char *typed, const char *words);
const char *near_attr(struct near *n, const char *typed, const struct dict_element *e);
const char *near_element(struct near *n, const char *typed);

/* Steps through a list of words separated by one space; *words NULL or at its end: false. */
bool dict_next_word(const char **words, const char **word, size_t *n);

/* Stands directly under <records>. */
bool dict_top_level(const struct dict_element *e);

#endif
