/* sim/cli/progress.h - share done and time left on a terminal, and the stop on Ctrl-C. */
#ifndef CLI_PROGRESS_H
#define CLI_PROGRESS_H

#include <stdbool.h>

typedef struct {
    bool shown;       /* draw a line on stderr? */
    bool flying;      /* has the first share come? the air is ready then */
    double first_s, first_share, drawn_s;
    int width;        /* characters of the line that stands there */
} cli_progress;

/** @param quiet never draw; otherwise it draws if stderr is a terminal */
void cli_progress_start(cli_progress *progress, bool quiet);
/** Takes the share done, 0 to 1; false after Ctrl-C. The form that drupelet_run() calls: user is a cli_progress. */
bool cli_progress_step(double share_done, void *user);
/** Wipes the line. */
void cli_progress_end(cli_progress *progress);

/** From here on Ctrl-C (and a polite end by the system) only raises a flag; a second one ends the program at once. */
void cli_catch_stop(void);
bool cli_stop_wanted(void);
/** From here on a stop is ignored: the little time in which the result is written. */
void cli_ignore_stop(void);

#endif
