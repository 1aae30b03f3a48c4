/* sim/cli/sweep_progress.c - cases done, failed, and time left; clock and stop for the sweep. */
#define _POSIX_C_SOURCE 200809L
#include "cli/sweep_progress.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "cli/progress.h"

#define DRAW_EVERY_S 0.25
#define LOG_EVERY_S 60.0

static double now_s(void *user)
{
    struct timespec now;
    (void)user;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static bool stop(void *user)
{
    (void)user;
    return cli_stop_wanted();
}

void cli_time_text(double seconds, char text[40])
{
    const long s = isfinite(seconds) && seconds < 1e9 ? (long)ceil(seconds) : 999999999;
    if (s < 60)
        snprintf(text, 40, "%ld s", s);
    else if (s < 3600)
        snprintf(text, 40, "%ld min %02ld s", s / 60, s % 60);
    else if (s < 48 * 3600)
        snprintf(text, 40, "%ld h %02ld min", s / 3600, s / 60 % 60);
    else
        snprintf(text, 40, "%ld d %02ld h", s / 86400, s / 3600 % 24);
}

void cli_sweep_display_start(cli_sweep_display *d, bool quiet)
{
    *d = (cli_sweep_display){.terminal = isatty(STDERR_FILENO) == 1, .quiet = quiet, .drawn_s = now_s(NULL)};
}

void cli_sweep_display_say(cli_sweep_display *d, const char *line)
{
    if (d->quiet || !d->terminal)
        return;
    fprintf(stderr, "\r%-*s", d->width, line); /* blanks over what stood there */
    fflush(stderr);
    d->width = (int)strlen(line);
}

void cli_sweep_display_end(cli_sweep_display *d)
{
    if (d->width > 0) {
        cli_sweep_display_say(d, "");
        fputc('\r', stderr);
    }
}

static void show(const sweep_progress *p, void *user)
{
    cli_sweep_display *d = user;
    const double now = now_s(NULL), spent_s = now - p->first_s;
    if (d->quiet || now - d->drawn_s < (d->terminal ? DRAW_EVERY_S : LOG_EVERY_S))
        return;
    char left[40], line[160];
    cli_time_text(spent_s * (double)(p->n_cases - p->n_done) / fmax((double)p->n_here, 1.0), left);
    snprintf(line, sizeof line, "%lld of %lld cases, %lld failed, about %s left", (long long)p->n_done,
             (long long)p->n_cases, (long long)p->n_failed, left);
    d->drawn_s = now;
    if (d->terminal)
        cli_sweep_display_say(d, line);
    else
        fprintf(stderr, "drupelet: %s\n", line);
}

sweep_hooks cli_sweep_hooks(cli_sweep_display *display)
{
    return (sweep_hooks){.now_s = now_s, .show = show, .stop = stop, .user = display};
}
