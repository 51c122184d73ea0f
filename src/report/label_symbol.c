#include "text/base.h"

#include "report/label_symbol.h"
#include "text/utf8.h"

/* Frames of the drawings, which are made in a square of 100. */
enum frame { FRAME_DIAMOND, FRAME_OCTAGON, FRAME_LIMITED };

/* A flame on its line, leaning with two tongues. */
#define FLAME                                                                                      \
    "<path d=\"M50 27C54 36 64 40 63 54C66 51 66 47 65 44C71 51 71 66 58 69H42C30 65 31 52 38 "    \
    "45C38 49 40 51 42 52C40 42 46 34 50 27Z\"/><path d=\"M30 71H70V75H30Z\"/>"

static const struct {
    const char *code, *words;
    enum frame frame;
    const char *paths;
} symbols[] = {
    {"GHS02", "flame in a red square set on a point", FRAME_DIAMOND, FLAME},
    {"GHS05", "two tubes dripping on a hand and a bar, in a red square set on a point",
     FRAME_DIAMOND,
     "<path d=\"M25 38L44 28L46 32L27 42Z\"/><path d=\"M56 28L75 38L73 42L54 32Z\"/>"
     "<path d=\"M29 45Q32 51 29 53Q26 51 29 45Z\"/><path d=\"M71 45Q74 51 71 53Q68 51 71 45Z\"/>"
     "<path d=\"M20 60H27L30 64L33 60H46V68H20Z\"/>"
     "<path d=\"M54 62C60 58 66 60 69 63L72 60L80 62V68H54Z\"/>"},
    {"GHS06", "skull over crossed bones in a red square set on a point", FRAME_DIAMOND,
     "<path fill-rule=\"evenodd\" d=\"M50 26C62 26 66 34 65 42C64 47 60 48 59 54H41C40 48 36 47 35 "
     "42C34 34 38 26 50 26ZM43 38A4 4 0 1 0 43 46A4 4 0 1 0 43 38ZM57 38A4 4 0 1 0 57 46A4 4 0 1 0 "
     "57 38Z\"/><path d=\"M30 58L70 74L68 78L28 62ZM70 58L72 62L32 78L30 74Z\"/>"},
    {"GHS07", "exclamation mark in a red square set on a point", FRAME_DIAMOND,
     "<path d=\"M45 27H55L53 60H47Z\"/><circle cx=\"50\" cy=\"69\" r=\"5\"/>"},
    {"GHS08", "head and shoulders with a star burst, in a red square set on a point", FRAME_DIAMOND,
     "<path fill-rule=\"evenodd\" d=\"M50 22A8 9 0 0 1 53 39L55 43C66 45 70 50 71 72H29C30 50 34 "
     "45 "
     "45 43L47 39A8 9 0 0 1 50 22ZM50 47L53 55L61 52L56 59L63 63L55 64L56 71L50 66L44 71L45 64L37 "
     "63L44 59L39 52L47 55Z\"/>"},
    {"GHS09", "leafless tree and dead fish, in a red square set on a point", FRAME_DIAMOND,
     "<path d=\"M38 66L40 44L32 36L34 34L40 40L39 27H42L43 38L50 30L52 32L44 44L45 66Z\"/>"
     "<path d=\"M20 66H55V69H20Z\"/>"
     "<path d=\"M52 60C60 52 70 54 74 60L80 55V67L74 62C69 68 59 68 52 60Z\"/>"},
    {"CCCR-FLAME", "flame in an octagon", FRAME_OCTAGON, FLAME},
    {"LIMITED-QUANTITY", "square on a point, black top and bottom", FRAME_LIMITED, ""},
};

static int index_of(const char *code)
{
    for (size_t i = 0; i < LW_COUNT(symbols); i++)
        if (ascii_casecmp(symbols[i].code, code) == 0)
            return (int)i;
    return -1;
}

double label_symbol_width_mm(const char *code, double side_mm)
{
    int i = index_of(code);

    return i >= 0 && symbols[i].frame == FRAME_OCTAGON ? side_mm : side_mm * sqrt(2.0);
}

const char *label_symbol_words(const char *code)
{
    int i = index_of(code);

    return i < 0 ? NULL : symbols[i].words;
}

bool label_symbol_draw(struct sbuf *out, const char *code, double x, double y, double side_mm)
{
    static const char *const frames[] = {
        /* the stroke's outer corners reach 0 and 100 */
        "<path d=\"M50 4.243L95.757 50L50 95.757L4.243 50Z\" fill=\"#fff\" stroke=\"#d00\" "
        "stroke-width=\"6\"/>",
        "<path d=\"M30 2H70L98 30V70L70 98H30L2 70V30Z\" fill=\"#fff\" stroke=\"#111\" "
        "stroke-width=\"4\"/>",
        "<path d=\"M50 1L99 50L50 99L1 50Z\" fill=\"#fff\" stroke=\"#111\" stroke-width=\"2\"/>"
        "<path d=\"M50 1L75 26H25ZM50 99L75 74H25Z\" fill=\"#111\"/>"};
    double width = label_symbol_width_mm(code, side_mm);
    int i = index_of(code);

    if (i < 0)
        return false;
    sbuf_puts(out, "<svg class=\"symbol\" x=\"");
    sbuf_fixed(out, x, 3);
    sbuf_puts(out, "\" y=\"");
    sbuf_fixed(out, y, 3);
    sbuf_puts(out, "\" width=\"");
    sbuf_fixed(out, width, 3);
    sbuf_puts(out, "\" height=\"");
    sbuf_fixed(out, width, 3);
    sbuf_printf(out, "\" viewBox=\"0 0 100 100\" role=\"img\" aria-label=\"%s\"><g fill=\"#111\">",
                symbols[i].words);
    sbuf_puts(out, frames[symbols[i].frame]);
    sbuf_puts(out, symbols[i].paths);
    sbuf_puts(out, "</g></svg>");
    return true;
}
