/* main.c - the program: sets the stage and hands its arguments to the command layer. */
#include "text/base.h"

#include <signal.h>

#include "command/command.h"
#include "text/mem.h"

int main(int argc, char **argv)
{
    signal(SIGPIPE, SIG_IGN); /* a closed pipe is a failed write, reported like any other */
    if (mem_install() != 0) {
        fputs("lotward: cannot start: memory functions were refused\n", stderr);
        return STATUS_TROUBLE;
    }
    return command_main(argc, argv);
}
