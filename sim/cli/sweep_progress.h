/* sim/cli/sweep_progress.h - cases done, failed, and time left. */
#ifndef CLI_SWEEP_PROGRESS_H
#define CLI_SWEEP_PROGRESS_H

#include "sweep/sweep.h"

typedef struct {
    bool terminal, quiet;
    double drawn_s;
    int width; /* characters of the line that stands there */
} cli_sweep_display;

/** Draws on a terminal; elsewhere a line now and then, for the logs of batch queues. */
void cli_sweep_display_start(cli_sweep_display *display, bool quiet);
/** A line that stands until the next. */
void cli_sweep_display_say(cli_sweep_display *display, const char *line);
void cli_sweep_display_end(cli_sweep_display *display);
/** Clock, progress and stop for the sweep; user is the display. */
sweep_hooks cli_sweep_hooks(cli_sweep_display *display);
/** A time for people, such as "3 h 05 min". */
void cli_time_text(double seconds, char text[40]);

#endif
