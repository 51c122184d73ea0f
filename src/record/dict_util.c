/* dict_util.c - look-ups in the record dictionary. */
#include "text/base.h"

#include "record/dict_near.h"
#include "record/dictionary.h"
#include "text/utf8.h"

enum { NAME_FAR = 3 }; /* an edit distance above this is no near name */

const struct dict_element *dict_find(const char *name)
{
    size_t count = 0;
    const struct dict_element *all = dict_elements(&count);

    if (name == NULL) {
        return NULL;
    }
    for (size_t i = 0; i < count; i++) {
        if (all[i].name[0] == name[0] && strcmp(all[i].name, name) == 0) {
            return &all[i];
        }
    }
    return NULL;
}

int dict_attr_index(const struct dict_element *e, const char *name)
{
    for (size_t i = 0; i < e->attr_count; i++) {
        if (e->attrs[i].name[0] == name[0] && strcmp(e->attrs[i].name, name) == 0) {
            return (int)i;
        }
    }
    return -1;
}

bool dict_top_level(const struct dict_element *e)
{
    return e->parent != NULL && strcmp(e->parent, "records") == 0;
}

bool dict_next_word(const char **words, const char **word, size_t *n)
{
    const char *s = *words;

    while (s != NULL && *s == ' ') {
        s++;
    }
    if (s == NULL || *s == '\0') {
        return false;
    }
    *word = s;
    *n = strcspn(s, " ");
    *words = s + *n;
    return true;
}

bool dict_word(const char *words, const char *word, size_t n)
{
    const char *w = NULL;
    size_t len = 0;

    while (dict_next_word(&words, &w, &len)) {
        if (len == n && memcmp(w, word, n) == 0) {
            return true;
        }
    }
    return false;
}

static const char *quantity_suffix(enum dimension dim)
{
    switch (dim) {
    case DIM_MASS:
    case DIM_AMOUNT:
        return "_g";
    case DIM_VOLUME:
        return "_l";
    case DIM_TEMPERATURE:
        return "_c";
    case DIM_LENGTH:
        return "_m";
    case DIM_AREA:
        return "_m2";
    case DIM_SPACE:
        return "_m3";
    case DIM_TIME:
        return "_min";
    case DIM_STRENGTH:
        return "_volpct";
    case DIM_DENSITY:
        return "_kg_m3";
    case DIM_FLOW:
        return "_m3_h";
    case DIM_AIR_CHANGES:
        return "_per_h";
    case DIM_SPEED:
        return "_m_s";
    case DIM_MONEY:
        return "_amount";
    case DIM_COUNT:
        return "_n";
    case DIM_NONE:
        break;
    }
    return "";
}

const char *dict_suffix(const struct dict_attr *a)
{
    switch (a->type) {
    case ATTR_QTY:
        return quantity_suffix(a->dim);
    case ATTR_PERCENT:
        return "_percent";
    case ATTR_RATIO:
        return "_parts";
    default:
        return "";
    }
}

void dict_column(const char *name, char *out, size_t size)
{
    size_t i = 0;

    for (; name[i] != '\0' && i + 1 < size; i++) {
        out[i] = name[i] == '-' ? '_' : name[i];
    }
    if (size > 0) {
        out[i] = '\0';
    }
}

/* ---- near names ---- */

static unsigned far_for(const char *typed)
{
    size_t n = strlen(typed);

    return n <= 2 ? 1 : n <= 5 ? 2 : NAME_FAR;
}

void near_start(struct near *n, const char *typed)
{
    n->typed = typed;
    n->best[0] = '\0';
    n->distance = far_for(typed) + 1;
}

void near_offer(struct near *n, const char *name, size_t len)
{
    char word[sizeof n->best];

    if (len == 0 || len >= sizeof word) {
        return;
    }
    memcpy(word, name, len);
    word[len] = '\0';
    unsigned d = str_distance(n->typed, word, n->distance);
    if (d < n->distance) {
        n->distance = d;
        memcpy(n->best, word, len + 1);
    }
}

const char *near_word(struct near *n, const char *typed, const char *words)
{
    const char *w = NULL;
    size_t len = 0;

    near_start(n, typed);
    while (dict_next_word(&words, &w, &len)) {
        near_offer(n, w, len);
    }
    return n->best[0] != '\0' ? n->best : NULL;
}

const char *near_attr(struct near *n, const char *typed, const struct dict_element *e)
{
    near_start(n, typed);
    for (size_t i = 0; i < e->attr_count; i++) {
        near_offer(n, e->attrs[i].name, strlen(e->attrs[i].name));
    }
    return n->best[0] != '\0' ? n->best : NULL;
}

const char *near_element(struct near *n, const char *typed)
{
    size_t count = 0;
    const struct dict_element *all = dict_elements(&count);

    near_start(n, typed);
    for (size_t i = 0; i < count; i++) {
        near_offer(n, all[i].name, strlen(all[i].name));
    }
    return n->best[0] != '\0' ? n->best : NULL;
}
