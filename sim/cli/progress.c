/* sim/cli/progress.c - share done and time left on a terminal, and the stop on Ctrl-C. */
#define _POSIX_C_SOURCE 200809L
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "cli/progress.h"

#define DRAW_EVERY_S 0.25
#define FORECAST_AFTER_S 1.0 /* earlier the time left jumps about */

static volatile sig_atomic_t stop_wanted; /* the only way out of a signal handler */

static void want_stop(int number)
{
    (void)number;
    stop_wanted = 1;
}

static void set_handler(void (*handler)(int), int flags)
{
    struct sigaction action;
    memset(&action, 0, sizeof action);
    action.sa_handler = handler;
    action.sa_flags = flags;
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, NULL);
    sigaction(SIGTERM, &action, NULL);
}

void cli_catch_stop(void)
{
    set_handler(want_stop, (int)SA_RESETHAND);
}

void cli_ignore_stop(void)
{
    set_handler(SIG_IGN, 0);
}

bool cli_stop_wanted(void)
{
    return stop_wanted != 0;
}

static double now_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static void draw(cli_progress *progress, const char *line)
{
    const int width = (int)strlen(line);
    fprintf(stderr, "\r%-*s", progress->width, line); /* blanks over what stood there */
    fflush(stderr);
    progress->width = width;
}

void cli_progress_start(cli_progress *progress, bool quiet)
{
    *progress = (cli_progress){.shown = !quiet && isatty(STDERR_FILENO) == 1};
    if (progress->shown)
        draw(progress, "working out the air ...");
}

bool cli_progress_step(double share_done, void *user)
{
    cli_progress *progress = user;
    const double now = now_s();
    if (!progress->flying) { /* the time before the first droplet says nothing about the time left */
        progress->flying = true;
        progress->first_s = now;
        progress->first_share = share_done;
    }
    if (progress->shown && now - progress->drawn_s >= DRAW_EVERY_S) {
        const double spent_s = now - progress->first_s, covered = share_done - progress->first_share;
        char line[80];
        if (covered > 0.0 && spent_s >= FORECAST_AFTER_S) {
            const long left_s = (long)(spent_s * (1.0 - share_done) / covered + 0.5);
            snprintf(line, sizeof line, "%3.0f %% done, about %ld min %02ld s left", 100.0 * share_done, left_s / 60,
                     left_s % 60);
        } else {
            snprintf(line, sizeof line, "%3.0f %% done", 100.0 * share_done);
        }
        draw(progress, line);
        progress->drawn_s = now;
    }
    return !cli_stop_wanted();
}

void cli_progress_end(cli_progress *progress)
{
    if (progress->shown && progress->width > 0) {
        draw(progress, "");
        fputc('\r', stderr);
    }
}
