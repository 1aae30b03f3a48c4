/* sim/live/exports.c - what the script of a worker calls. There is one simulation; numbers cross as doubles, which hold
 * every whole number here, and texts as bytes in the module's memory. */
#define _POSIX_C_SOURCE 200809L
#include <stdlib.h>
#include <string.h>

#include "live/live.h"

#define EXPORT(name) __attribute__((export_name(name)))

static live_run live = {.winds = "memory"}; /* any name will do (kept.c) */
static drupelet_status last;                /* of the call that failed */
static char *told;
static size_t n_told;

static int code_of(drupelet_status status)
{
    last = status;
    return (int)status.code;
}

EXPORT("room") void *export_room(int32_t n_bytes)
{
    return malloc((size_t)n_bytes);
}

EXPORT("end_room") void export_end_room(void *room)
{
    free(room);
}

EXPORT("message") const char *export_message(void)
{
    return last.message;
}

EXPORT("open") int export_open(const char *tree, int32_t n_bytes)
{
    return code_of(live_open(&live, tree, (size_t)n_bytes));
}

/* ---- rounds ---- */

EXPORT("next") int export_next(void)
{
    return live_next(&live);
}

EXPORT("take_round") int export_take_round(double first, double n, double weight)
{
    const run_round round = {(int64_t)first, (int64_t)n, (int64_t)weight};
    return code_of(live_take_round(&live, &round));
}

EXPORT("round_first") double export_round_first(void)
{
    return (double)live.round.first;
}

EXPORT("round_n") double export_round_n(void)
{
    return (double)live.round.n;
}

EXPORT("round_weight") double export_round_weight(void)
{
    return (double)live.round.weight; /* at most 2^52 */
}

EXPORT("per_batch") double export_per_batch(void)
{
    return (double)live_per_batch(&live);
}

EXPORT("fly") int export_fly(double from, double up_to, int record)
{
    return code_of(live_fly(&live, (int64_t)from, (int64_t)up_to, record != 0));
}

EXPORT("look") void export_look(void)
{
    live_look(&live);
}

EXPORT("error") double export_error(void)
{
    return live.course.aim.error;
}

EXPORT("asked") double export_asked(void)
{
    return live.course.aim.asked;
}

EXPORT("most") double export_most(void)
{
    return (double)live.ready.most;
}

/* ---- accounts ---- */

EXPORT("numbers") double export_numbers(void)
{
    return (double)live_numbers(&live);
}

EXPORT("give") void export_give(int64_t *number)
{
    live_give(&live, number);
}

EXPORT("add") void export_add(const int64_t *number)
{
    live_add(&live, number);
}

/* ---- telling ---- */

EXPORT("tell") int export_tell(int at_end, int paths)
{
    free(told);
    told = NULL;
    FILE *to = open_memstream(&told, &n_told);
    if (!to) return (int)DRUPELET_MEMORY;
    const int code = code_of(live_tell(&live, to, at_end != 0, paths != 0));
    return fclose(to) == 0 ? code : (int)DRUPELET_MEMORY;
}

EXPORT("told") const char *export_told(void)
{
    return told;
}

EXPORT("n_told") double export_n_told(void)
{
    return (double)n_told;
}
