/* main.c - the program: hands its arguments to the command layer. */
#include "config.h"
#include "text/base.h"

enum { EXIT_USAGE = 2 };

int main(int argc, char **argv)
{
    if (argc == 2 && strcmp(argv[1], "--version") == 0) {
        printf("%s %s\n", PACKAGE_NAME, PACKAGE_VERSION);
        return fflush(stdout) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
    }
    fputs("usage: lotward COMMAND [ARGUMENTS]\n       lotward --version\n", stderr);
    return EXIT_USAGE;
}
