/* tests/bench/bench.c - rates of the kernel, the yardstick, the reference and GSL, interleaved; one JSON object a
 * line for each measurement. scripts/bench runs it and makes the table.
 *
 * Usage: drupelet_bench SCENARIO REPETITIONS DROPLETS REFERENCE_DROPLETS CALM_DROPLETS VISITS FOLDER
 *
 * FOLDER takes the computed wind that is kept.
 *
 * The linker sends calls of droplet_flight_pick() in a run to the one below (--wrap): so a variant is chosen here, and
 * the product has no switch for it. */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <omp.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "air/block_flow.h"
#include "air/flow_keep.h"
#include "drupelet/drupelet.h"
#include "flights.h"
#include "reference_run.h"
#include "run/run.h"

enum { VARIANTS = 3, TOLERANCES = 13 };
static const struct {
    const char *name;
    int lanes;
    yardstick read;
} variant[VARIANTS] = {
#ifdef BENCH_HAVE_V4
    {"v4", 16, yardstick_v4},
#else
    {"v4", 16, NULL},
#endif
#ifdef BENCH_HAVE_V3
    {"v3", 8, yardstick_v3},
#else
    {"v3", 8, NULL},
#endif
    {"base", 4, yardstick_base},
};
typedef struct { double wall_s, cpu_s; } stopwatch;

static double seconds(clockid_t clock)
{
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static stopwatch now(void)
{
    return (stopwatch){seconds(CLOCK_MONOTONIC), seconds(CLOCK_PROCESS_CPUTIME_ID)};
}

static droplet_flight chosen; /* NULL: as the product picks */
static stopwatch first;       /* when a thread of the run first asked for a flight: droplets are about to start */
static atomic_bool flying;

droplet_flight __real_droplet_flight_pick(void);
droplet_flight __wrap_droplet_flight_pick(void);
droplet_flight __wrap_droplet_flight_pick(void)
{
    if (!atomic_exchange(&flying, true))
        first = now();
    return chosen ? chosen : __real_droplet_flight_pick();
}

/* A flight of a run that is timed now and then, by the clock, which is read without the kernel's help; calls that last
 * as if the processor had been taken away do not count. */
enum { TIMED_EVERY = 64 };
#define TAKEN_AWAY_S 50e-6
static struct {
    droplet_flight flight;
    int64_t n_calls, n_timed, n_steps;
    double sum_s;
} timing;

static void fly_and_time(const droplet_setting *setting, droplet_batch *batch)
{
    if (timing.n_calls++ % TIMED_EVERY > 0) {
        timing.flight(setting, batch);
        return;
    }
    int64_t n = 0;
    for (int i = 0; i < DROPLET_LANES; i++)
        n += batch->aloft[i] > 0.0f;
    const double from_s = seconds(CLOCK_MONOTONIC);
    timing.flight(setting, batch);
    const double took_s = seconds(CLOCK_MONOTONIC) - from_s;
    if (took_s > TAKEN_AWAY_S)
        return;
    timing.sum_s += took_s;
    timing.n_steps += n;
    timing.n_timed++;
}

/* What timing nothing takes. */
static double idle_s(void)
{
    enum { TIMES = 10000 };
    double sum_s = 0.0;
    for (int i = 0; i < TIMES; i++) {
        const double from_s = seconds(CLOCK_MONOTONIC);
        sum_s += seconds(CLOCK_MONOTONIC) - from_s;
    }
    return sum_s / TIMES;
}

/* A flight of a run that notes where it reads the air. */
static struct {
    const reference_air *air;
    yardstick_visits *visits;
    int64_t n_steps;
    bool full;
} notes;

static void fly_and_note(const droplet_setting *setting, droplet_batch *batch)
{
    notes.full = notes.full || !bench_note_visits(notes.air, batch, notes.n_steps++, notes.visits);
    __real_droplet_flight_pick()(setting, batch);
}

static void report(const char *job, const char *name, int threads, int64_t count, int64_t units, stopwatch from,
                   stopwatch to)
{
    printf("{\"job\": \"%s\", \"variant\": \"%s\", \"threads\": %d, \"droplets\": %lld, \"units\": %lld, "
           "\"wall_s\": %.6f, \"cpu_s\": %.6f}\n",
           job, name, threads, (long long)count, (long long)units, to.wall_s - from.wall_s, to.cpu_s - from.cpu_s);
    fflush(stdout);
}

static void give_up(const char *what)
{
    fprintf(stderr, "drupelet_bench: %s\n", what);
    exit(1);
}

/* ---- (a) a whole run, from its first droplet to its end ---- */

static void run(const drupelet_scenario *scenario, const char *job, int i_variant, int threads, int64_t n_droplets)
{
    const drupelet_run_options options = {.n_droplets = n_droplets, .n_threads = threads};
    run_outcome *outcome = NULL;
    const char *name = i_variant < 0 ? "picked" : variant[i_variant].name;
    memset(&timing, 0, sizeof timing);
    timing.flight = i_variant < 0 ? NULL : droplet_flight_named(name);
    chosen = timing.flight ? fly_and_time : NULL;
    atomic_store(&flying, false);
    const stopwatch from = now();
    const drupelet_status status = run_in_air(scenario, &options, NULL, &outcome);
    const stopwatch to = now();
    if (status.code != DRUPELET_OK)
        give_up(status.message);
    report(job, name, threads, outcome->n_droplets, outcome->n_steps, first, to);
    report("before", job, threads, outcome->n_droplets, 1, from, first);
    if (timing.flight) {
        const double step_s = timing.sum_s - (double)timing.n_timed * idle_s();
        report("step", name, threads, outcome->n_droplets, timing.n_steps, (stopwatch){0.0, 0.0},
               (stopwatch){step_s, step_s});
    }
    run_outcome_free(outcome);
    chosen = NULL;
}

/* Where a run of one thread reads the air, in its order; it is stopped when there are enough. */
static bool stop_when_full(double share, void *user)
{
    (void)share;
    (void)user;
    return !notes.full;
}

static void note_visits(const drupelet_scenario *scenario, const reference_air *air, int64_t n,
                        yardstick_visits *visits)
{
    const drupelet_run_options options = {.n_droplets = n / 20, .n_threads = 1, .progress = stop_when_full};
    run_outcome *outcome = NULL;
    if (!bench_visits_make(n, visits))
        give_up("no memory for the visits");
    notes.air = air;
    notes.visits = visits;
    chosen = fly_and_note;
    const drupelet_status status = run_in_air(scenario, &options, NULL, &outcome);
    chosen = NULL;
    run_outcome_free(outcome);
    if (!notes.full)
        give_up(status.code == DRUPELET_OK ? "too few visits" : status.message);
}

static bool usable(int i_variant)
{
    return variant[i_variant].read && droplet_flight_named(variant[i_variant].name);
}

/* ---- (b), (c) ---- */

/* The yardstick must read what stands in the grids: five fields of the first places, beside plain sums in double. */
static void check_reads(const yardstick_grids *g, const yardstick_visits *visits, int i_variant)
{
    static float sum[YARDSTICK_READ * YARDSTICK_LANES];
    yardstick_visits few = *visits;
    few.n = YARDSTICK_LANES;
    memset(sum, 0, sizeof sum);
    variant[i_variant].read(g, &few, sum);
    for (int i = 0; i < YARDSTICK_LANES; i++) {
        const int far = visits->first[i] == g->far_first;
        const double at[3] = {fmin(fmax((double)visits->z[i], 0.0), g->nz[far] - 1.01),
                              fmin(fmax((double)visits->x[i], 0.0), g->nx[far] - 1.01),
                              fmin(fmax((double)visits->y[i], 0.0), g->ny[far] - 1.01)};
        for (int value = 0; value < YARDSTICK_READ; value++) {
            double plain = 0.0, size = 0.0;
            for (int corner = 0; corner < 8; corner++) {
                double weight = 1.0;
                int node[3];
                for (int d = 0; d < 3; d++) {
                    const int next = corner >> d & 1;
                    node[d] = (int)at[d] + next;
                    weight *= next ? at[d] - floor(at[d]) : 1.0 - (at[d] - floor(at[d]));
                }
                const int64_t n = ((int64_t)node[0] * g->nx[far] + node[1]) * g->ny[far] + node[2];
                const double read = (double)g->node[visits->first[i] + YARDSTICK_VALUES * n + value];
                plain += weight * read;
                size += fabs(read);
            }
            if (!(fabs((double)sum[value * YARDSTICK_LANES + i] - plain) <= 1e-4 * size))
                give_up("the yardstick reads what is not there");
        }
    }
}

static void read_all(const flight_case *c, const char *job, const yardstick_visits *visits, int i_variant)
{
    static float sum[YARDSTICK_READ * YARDSTICK_LANES];
    const yardstick_grids grids = bench_grids(&c->reference.air);
    const stopwatch from = now();
    variant[i_variant].read(&grids, visits, sum);
    const stopwatch to = now();
    double check = 0.0; /* of the first field, so that nothing is left out */
    for (int i = 0; i < YARDSTICK_LANES; i++)
        check += (double)sum[i];
    if (!isfinite(check))
        give_up("the yardstick read what is no number");
    report(job, variant[i_variant].name, 1, 0, visits->n, from, to);
}

/* The same visits, as if all passes had one grid: what the reads cost when more of them find the cache filled. */
static bool in_one_grid(const reference_air *air, const yardstick_visits *visits, yardstick_visits *one)
{
    const int32_t far = (int32_t)air->ambient.first, near = (int32_t)air->pass[0].first;
    *one = *visits;
    one->first = malloc((size_t)visits->n * sizeof *one->first);
    for (int64_t i = 0; one->first && i < visits->n; i++)
        one->first[i] = visits->first[i] == far ? far : near;
    return one->first;
}

static void fly_reference(const flight_case *c)
{
    reference_fates fates;
    const stopwatch from = now();
    reference_fly_all(c, 1, &fates);
    const stopwatch to = now();
    report("c", "double", 1, c->emission->per_batch * TALLY_BATCHES, fates.n_steps, from, to);
}

/* The reference's steps alone: droplets fly through the leaves. */
static void fly_reference_alone(const flight_case *c)
{
    static droplet_batch lane;
    const int64_t n = c->emission->per_batch * TALLY_BATCHES;
    int64_t steps = 0;
    flight_case_park(&lane);
    const stopwatch from = now();
    for (int64_t id = 0; id < n; id += 4) {
        flight_case_emit(c, id, false, &lane, 0);
        reference_droplet p = reference_of_lane(&lane, 0);
        double normal[3];
        p.path_limit = INFINITY;
        do
            reference_normals(&c->reference, &p, normal);
        while (!reference_step(&c->reference, &p, normal, INFINITY));
        steps += p.step;
    }
    report("c alone", "double", 1, n / 4, steps, from, now());
}

/* ---- (d) ---- */

#define CALM_S 3.0

typedef struct {
    int n;
    bench_end *kernel, *truth, *other;
    double *off_m;
    double tolerance; /* of GSL */
} calm;

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Errors of ends, sorted. */
static void errors(calm *k, const bench_end *end)
{
    for (int i = 0; i < k->n; i++) {
        double sum = 0.0;
        for (int d = 0; d < 3; d++)
            sum += pow(end[i].place_m[d] - k->truth[i].place_m[d], 2.0);
        k->off_m[i] = sqrt(sum);
    }
    qsort(k->off_m, (size_t)k->n, sizeof *k->off_m, by_size);
}

static double quantile(const calm *k, int percent)
{
    return k->off_m[(k->n - 1) * percent / 100];
}

static void report_errors(const calm *k, const char *who, double tolerance)
{
    printf("{\"job\": \"off\", \"variant\": \"%s\", \"tolerance\": %g, \"median_mm\": %.4f, \"off_90_mm\": %.4f, "
           "\"off_99_mm\": %.4f, \"worst_mm\": %.4f}\n",
           who, tolerance, 1e3 * quantile(k, 50), 1e3 * quantile(k, 90), 1e3 * quantile(k, 99),
           1e3 * quantile(k, 100));
}

/* Where the kernel ends, the truth, and the loosest tolerance at which GSL is as close to it at 90 % of the droplets.
 */
static void prepare_calm(const flight_case *c, calm *k, int n)
{
    static droplet_batch lane;
    *k = (calm){n, calloc((size_t)n, sizeof *k->kernel), calloc((size_t)n, sizeof *k->truth),
                calloc((size_t)n, sizeof *k->other), calloc((size_t)n, sizeof *k->off_m), 0.0};
    if (!k->kernel || !k->truth || !k->other || !k->off_m)
        give_up("no memory");
    if (bench_fly_kernel(c, droplet_flight_pick(), n, CALM_S, k->kernel) < 0)
        give_up("no memory");
    flight_case_park(&lane);
    for (int i = 0; i < n; i++) {
        flight_case_emit(c, bench_id(c, i, n), true, &lane, 0);
        reference_droplet p = reference_of_lane(&lane, 0);
        reference_fly_finely(&c->reference, 5e-5, k->kernel[i].time_s, &p);
        k->truth[i] = (bench_end){{p.place_m[0], p.place_m[1], p.place_m[2]}, p.time_s};
    }
    errors(k, k->kernel);
    report_errors(k, "kernel", 0.0);
    const double wanted_m = quantile(k, 90);
    for (int t = 0; t < TOLERANCES; t++) {
        k->tolerance = pow(10.0, -1.0 - 0.5 * t);
        if (bench_fly_gsl(c, n, k->tolerance, k->kernel, k->other) < 0)
            give_up("GSL failed");
        errors(k, k->other);
        report_errors(k, "gsl", k->tolerance);
        if (quantile(k, 90) <= wanted_m)
            return;
    }
    give_up("GSL comes nowhere near");
}

static void fly_calm(const flight_case *c, calm *k)
{
    enum { TIMES = 20 }; /* a thousand droplets are soon flown */
    int64_t steps = 0;
    stopwatch from = now();
    for (int i = 0; i < TIMES; i++)
        steps += bench_fly_kernel(c, droplet_flight_pick(), k->n, CALM_S, k->other);
    report("d kernel", "picked", 1, TIMES * k->n, steps, from, now());
    from = now();
    steps = bench_fly_gsl(c, k->n, k->tolerance, k->kernel, k->other);
    report("d gsl", "rk4imp", 1, k->n, steps, from, now());
}

/* ---- (i) the computed wind of the scenario ---- */

/* From the canopy to the wind. @param folder NULL: solved for; else read from there, if a former call kept it */
static void obtain_wind(const drupelet_scenario *scenario, const orchard_canopy *canopy, const char *folder,
                        const char *name)
{
    air_flow_case flow_case;
    air_flow *flow = NULL;
    const air_flow_store store = {.folder = folder};
    const stopwatch from = now();
    drupelet_status status = air_block_flow_case(scenario, canopy, &flow_case);
    if (status.code == DRUPELET_OK) status = air_flow_obtain(&flow_case, &store, (air_watch){NULL, NULL}, &flow);
    report("wind", name, 1, 0, 1, from, now());
    air_flow_free(flow);
    air_flow_case_free(&flow_case);
    if (status.code != DRUPELET_OK) give_up(status.message);
}

/* ---- all ---- */

static drupelet_scenario *read_scenario(const char *path, const char *override)
{
    drupelet_scenario *scenario = NULL;
    const drupelet_status status = drupelet_scenario_read(path, &override, override ? 1 : 0, &scenario);
    if (status.code != DRUPELET_OK)
        give_up(status.message);
    return scenario;
}

static void open_case(const char *path, int64_t n, bool in_calm, flight_case *c)
{
    const drupelet_status status = flight_case_open(path, NULL, n, in_calm, c);
    if (status.code != DRUPELET_OK)
        give_up(status.message);
}

int main(int argc, char **argv)
{
    if (argc != 8)
        give_up("usage: drupelet_bench SCENARIO REPETITIONS DROPLETS REFERENCE_DROPLETS CALM_DROPLETS VISITS FOLDER");
    const char *path = argv[1], *folder = argv[7];
    const int repetitions = atoi(argv[2]), n_calm = atoi(argv[5]), n_threads = omp_get_max_threads();
    const int64_t n_droplets = atoll(argv[3]), n_reference = atoll(argv[4]), n_visits = atoll(argv[6]);
    static flight_case windy, still;
    yardstick_visits visits, one_grid;
    calm k;
    open_case(path, n_reference, false, &windy);
    open_case(path, 32000, true, &still);
    drupelet_scenario *scenario = read_scenario(path, NULL);
    char finer[64];
    snprintf(finer, sizeof finer, "canopy.voxel=%g m", 0.5 * windy.canopy->edge_m);
    drupelet_scenario *fine = read_scenario(path, finer);
    note_visits(scenario, &windy.reference.air, n_visits, &visits);
    if (!in_one_grid(&windy.reference.air, &visits, &one_grid))
        give_up("no memory for the visits");
    prepare_calm(&still, &k, n_calm);
    const yardstick_grids grids = bench_grids(&windy.reference.air);
    for (int v = 0; v < VARIANTS; v++)
        if (usable(v))
            check_reads(&grids, &visits, v);
    obtain_wind(scenario, windy.canopy, folder, "solved and kept");
    for (int r = 0; r < repetitions; r++) {
        for (int v = 0; v < VARIANTS; v++)
            if (usable(v)) {
                run(scenario, "a", v, 1, n_droplets);
                read_all(&windy, "b", &visits, v);
                read_all(&windy, "b one grid", &one_grid, v);
            }
        run(scenario, "a", -1, n_threads, n_droplets);
        run(scenario, "a", -1, 1, n_droplets);
        fly_reference(&windy);
        fly_reference_alone(&windy);
        run(fine, "voxels", -1, 1, n_droplets);
        run(scenario, "quarter", -1, 1, n_droplets / 4);
        fly_calm(&still, &k);
        obtain_wind(scenario, windy.canopy, NULL, "solved");
        obtain_wind(scenario, windy.canopy, folder, "kept");
    }
    free(one_grid.first);
    bench_free_visits(&visits);
    free(k.kernel);
    free(k.truth);
    free(k.other);
    free(k.off_m);
    drupelet_scenario_free(fine);
    drupelet_scenario_free(scenario);
    flight_case_close(&still);
    flight_case_close(&windy);
    return 0;
}
