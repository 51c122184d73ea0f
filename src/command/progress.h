/* progress.h - a sign of life on a terminal when a run takes more than a second. */
#ifndef LW_COMMAND_PROGRESS_H
#define LW_COMMAND_PROGRESS_H

/* From a second on, a line with the seconds so far on standard error; nothing when that is not a
 * terminal. */
void progress_start(void);
/* Ends it and wipes the line. Harmless when it was never started. */
void progress_stop(void);

#endif
