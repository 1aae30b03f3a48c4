/* tests/bench/gsl_flight.c - droplets through a general-purpose library for ordinary differential equations: the GNU
 * Scientific Library, by an implicit method, one integrator that starts anew for each droplet. */
#include "flights.h"
#include "gsl/stiff.h"

typedef struct {
    const reference_setting *setting;
    reference_droplet start;
} trial;

static int rates(double t_s, const double y[], double rate[], void *user)
{
    const trial *c = user;
    reference_rates(c->setting, &c->start, t_s, y, rate);
    return 0;
}

int64_t bench_fly_gsl(const flight_case *c, int n, double tolerance, const bench_end *end, bench_end *by_gsl)
{
    static droplet_batch lane;
    trial t = {.setting = &c->reference};
    stiff *solver = stiff_create(rates, REFERENCE_STATES, tolerance, tolerance, &t);
    int64_t steps = solver ? 0 : -1;
    flight_case_park(&lane);
    for (int i = 0; i < n && steps >= 0; i++) {
        double y[REFERENCE_STATES] = {[6] = 1.0};
        flight_case_emit(c, bench_id(c, i, n), true, &lane, 0);
        t.start = reference_of_lane(&lane, 0);
        for (int d = 0; d < 3; d++) {
            y[d] = t.start.place_m[d];
            y[3 + d] = t.start.velocity_m_s[d];
        }
        const int64_t taken = stiff_go(solver, 0.0, end[i].time_s, y);
        steps = taken < 0 ? -1 : steps + taken;
        by_gsl[i] = (bench_end){{y[0], y[1], y[2]}, end[i].time_s};
    }
    stiff_free(solver);
    return steps;
}
