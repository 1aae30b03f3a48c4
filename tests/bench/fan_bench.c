/* tests/bench/fan_bench.c - rounds of the fan's resolved air beside what the memory can stream, in one run.
 *
 *     drupelet_fan_bench SCENARIO [THREADS [ROUNDS]]
 *
 * A triad a = b + 3 c over arrays far larger than the caches says how many bytes a second the memory takes and gives
 * (J. D. McCalpin, IEEE TCCA Newsletter (1995) 19; memory). A round of the solver streams so many numbers of 4 bytes a
 * cell; a solver that only waited for the memory would do as many cells a second as that allows. Prints both, and
 * their ratio. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include <omp.h>

#include "air/fan_case.h"
#include "air/fan_state.h"

/* Numbers of a cell that a round reads or writes, each counted once in every sweep over the mesh that uses it, and
 * twice where it is read and written. What a write reads first (write-allocate) is not counted, neither here nor in the
 * triad. */
enum {
    SPEED = 7 + 3 + 7,       /* fan_transport.c: u v w nu p drag left; change and both links; the lines across */
    TURBULENCE = 10 + 3 + 7, /* the same: u v w nu k epsilon made drag speed left */
    PRODUCTION = 5 + 1,      /* u v w nu k; made */
    DIVERGENCE = 4 + 1,      /* u v w still; phi */
    PRESSURE = 6 * 2,        /* fan_pressure.c: along y, z, up and down x, z, y */
    CORRECTION = 1 + 4 * 2,  /* phi; u v w p */
    SETTLE = 5 + 2 + 2,      /* fan_settle.c: u v w k epsilon; speed; drag nu */
    NUMBERS = 3 * SPEED + 2 * TURBULENCE + PRODUCTION + DIVERGENCE + PRESSURE + CORRECTION + SETTLE
};
enum { TRIAD = 1 << 25, REPEAT = 5 };

static void must(drupelet_status status)
{
    if (status.code == DRUPELET_OK) return;
    fprintf(stderr, "drupelet_fan_bench: %s\n", status.message);
    exit(1);
}

/* Bytes a second, the best of some. */
static double triad_B_s(int n_threads)
{
    float *a = malloc(sizeof(float) * TRIAD), *b = malloc(sizeof(float) * TRIAD), *c = malloc(sizeof(float) * TRIAD);
    if (!a || !b || !c) must((drupelet_status){DRUPELET_MEMORY, "no memory for the triad"});
    double best = INFINITY;
#pragma omp parallel for num_threads(n_threads) schedule(static)
    for (int i = 0; i < TRIAD; i++) {
        a[i] = 0.0f;
        b[i] = (float)i;
        c[i] = 1.0f;
    }
    for (int n = 0; n < REPEAT; n++) {
        const double start = omp_get_wtime();
#pragma omp parallel for num_threads(n_threads) schedule(static)
        for (int i = 0; i < TRIAD; i++)
            a[i] = b[i] + 3.0f * c[i];
        best = fmin(best, omp_get_wtime() - start);
    }
    if (!(a[1] == 4.0f)) exit(1); /* so that it is not left out */
    free(a);
    free(b);
    free(c);
    return 3.0 * sizeof(float) * TRIAD / best;
}

/* Seconds of so many rounds from the wind on. It does not settle in them, and says so. */
static double seconds_of(const air_fan_case *c, int rounds, int n_threads)
{
    double best = INFINITY;
    for (int n = 0; n < 3; n++) {
        air_fan_flow *flow = NULL;
        const double start = omp_get_wtime();
        const drupelet_status status = fan_solve(c, (fan_options){.most_rounds = rounds, .from_wind = true}, n_threads,
                                                 (air_watch){NULL, NULL}, &flow);
        best = fmin(best, omp_get_wtime() - start);
        if (status.code != DRUPELET_BALANCE) must(status);
        air_fan_flow_free(flow);
    }
    return best;
}

int main(int argc, char **argv)
{
    if (argc < 2) {
        fputs("usage: drupelet_fan_bench SCENARIO [THREADS [ROUNDS]]\n", stderr);
        return 2;
    }
    const int n_threads = argc > 2 ? atoi(argv[2]) : omp_get_num_procs(), rounds = argc > 3 ? atoi(argv[3]) : 40;
    if (n_threads < 1 || rounds < 1) {
        fputs("drupelet_fan_bench: threads and rounds are whole numbers from 1\n", stderr);
        return 2;
    }
    drupelet_scenario *scenario = NULL;
    orchard_canopy *canopy = NULL;
    air_ambient *ambient = NULL;
    sprayer_work work;
    air_fan_sharing sharing;
    air_fan_case c;
    must(drupelet_scenario_read(argv[1], NULL, 0, &scenario));
    must(orchard_create(scenario, &canopy));
    must(sprayer_work_out(scenario, &work));
    must(air_ambient_create(scenario, canopy, NULL, (air_watch){NULL, NULL}, &ambient));
    must(air_fan_share(scenario, canopy, ambient, &work, &sharing));
    must(air_fan_case_of(scenario, canopy, ambient, &work, &sharing, 0, &c));
    const double few = seconds_of(&c, 2, n_threads), many = seconds_of(&c, 2 + rounds, n_threads);
    const double cells = (double)c.nx * c.ny * c.nz, updates_1_s = cells * rounds / (many - few);
    const double bytes_s = triad_B_s(n_threads), allowed_1_s = bytes_s / (sizeof(float) * NUMBERS);
    printf("%d by %d by %d cells, %d threads\n", c.nx, c.ny, c.nz, n_threads);
    printf("a round: %.1f ms; %.1f million cells a second\n", 1e3 * (many - few) / rounds, 1e-6 * updates_1_s);
    printf("triad: %.1f GB/s; with %d numbers of 4 bytes a cell it allows %.1f million cells a second\n",
           1e-9 * bytes_s, NUMBERS, 1e-6 * allowed_1_s);
    printf("share: %.2f\n", updates_1_s / allowed_1_s);
    air_fan_case_free(&c);
    air_ambient_free(ambient);
    orchard_free(canopy);
    drupelet_scenario_free(scenario);
    return 0;
}
