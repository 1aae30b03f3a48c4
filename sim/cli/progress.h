/* sim/cli/progress.h - what is done and the time left on a terminal, and the stop on Ctrl-C. */
#ifndef CLI_PROGRESS_H
#define CLI_PROGRESS_H

#include <stdbool.h>

#include "sweep/sweep.h"

/** A line on stderr, where that is a terminal and nobody asked for quiet. */
typedef struct {
    bool terminal, quiet;
    double drawn_s; /* when it was drawn last */
    int width;      /* characters of the line that stands there */
} cli_line;
void cli_line_start(cli_line *line, bool quiet);
/** Draws a line that stands until the next. */
void cli_line_say(cli_line *line, const char *text);
/** Wipes it. */
void cli_line_end(cli_line *line);

/* ---- a run ---- */

typedef struct {
    cli_line line;
    bool flying; /* has the first share come? */
    double first_s, first_share, last_share;
} cli_progress;

void cli_progress_start(cli_progress *progress, bool quiet);
/** Takes the share done, 0 to 1; false after Ctrl-C. The form that drupelet_run() calls: user is a cli_progress. */
bool cli_progress_step(double share_done, void *user);

/* ---- a sweep ---- */

/** Clock, progress and stop for a sweep. The line is drawn on a terminal; elsewhere it is printed now and then, for the
 *  logs of batch queues. */
sweep_hooks cli_sweep_hooks(cli_line *line);
/** A time for people, such as "3 h 05 min". */
void cli_time_text(double seconds, char text[40]);

/* ---- the stop ---- */

/** From here on Ctrl-C (and a polite end by the system) only raises a flag; a second one ends the program at once. */
void cli_catch_stop(void);
bool cli_stop_wanted(void);
/** From here on a stop is ignored: the little time in which the result is written. */
void cli_ignore_stop(void);

#endif
