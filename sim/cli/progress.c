/* sim/cli/progress.c - what is done and the time left on a terminal, and the stop on Ctrl-C. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "cli/progress.h"

#define DRAW_EVERY_S 0.25
#define LOG_EVERY_S 60.0
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
    struct sigaction hangup; /* a run that was started to outlive its terminal does */
    if (sigaction(SIGHUP, NULL, &hangup) == 0 && hangup.sa_handler != SIG_IGN)
        sigaction(SIGHUP, &action, NULL);
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

void cli_line_start(cli_line *line, bool quiet)
{
    *line = (cli_line){.terminal = isatty(STDERR_FILENO) == 1, .quiet = quiet, .drawn_s = now_s()};
}

void cli_line_say(cli_line *line, const char *text)
{
    if (line->quiet || !line->terminal)
        return;
    fprintf(stderr, "\r%-*s", line->width, text); /* blanks over what stood there */
    fflush(stderr);
    line->width = (int)strlen(text);
}

void cli_line_end(cli_line *line)
{
    if (line->width > 0) {
        cli_line_say(line, "");
        fputc('\r', stderr);
    }
}

/* ---- a run ---- */

void cli_progress_start(cli_progress *progress, bool quiet)
{
    *progress = (cli_progress){0};
    cli_line_start(&progress->line, quiet);
    progress->line.drawn_s = 0.0;
    cli_line_say(&progress->line, "working out the air ...");
}

bool cli_progress_step(double share_done, void *user)
{
    cli_progress *progress = user;
    const double now = now_s();
    /* the time before the first share says nothing about the time left; after that of the air comes that of droplets */
    if (!progress->flying || share_done < progress->last_share) {
        progress->flying = true;
        progress->first_s = now;
        progress->first_share = share_done;
    }
    progress->last_share = share_done;
    if (now - progress->line.drawn_s >= DRAW_EVERY_S) {
        const double spent_s = now - progress->first_s, covered = share_done - progress->first_share;
        char line[80];
        if (covered > 0.0 && spent_s >= FORECAST_AFTER_S) {
            const long left_s = (long)(spent_s * (1.0 - share_done) / covered + 0.5);
            snprintf(line, sizeof line, "%3.0f %% done, about %ld min %02ld s left", 100.0 * share_done, left_s / 60,
                     left_s % 60);
        } else {
            snprintf(line, sizeof line, "%3.0f %% done", 100.0 * share_done);
        }
        cli_line_say(&progress->line, line);
        progress->line.drawn_s = now;
    }
    return !cli_stop_wanted();
}

/* ---- a sweep ---- */

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

static double clock_s(void *user)
{
    (void)user;
    return now_s();
}

static bool stop(void *user)
{
    (void)user;
    return cli_stop_wanted();
}

static void show(const sweep_progress *p, void *user)
{
    cli_line *d = user;
    const double now = now_s(), spent_s = now - p->first_s;
    if (d->quiet || now - d->drawn_s < (d->terminal ? DRAW_EVERY_S : LOG_EVERY_S))
        return;
    char left[40], line[160];
    cli_time_text(spent_s * (double)(p->n_cases - p->n_done) / fmax((double)p->n_here, 1.0), left);
    snprintf(line, sizeof line, "%lld of %lld cases, %lld failed, about %s left", (long long)p->n_done,
             (long long)p->n_cases, (long long)p->n_failed, left);
    d->drawn_s = now;
    if (d->terminal)
        cli_line_say(d, line);
    else
        fprintf(stderr, "drupelet: %s\n", line);
}

sweep_hooks cli_sweep_hooks(cli_line *line)
{
    return (sweep_hooks){.now_s = clock_s, .show = show, .stop = stop, .user = line};
}
