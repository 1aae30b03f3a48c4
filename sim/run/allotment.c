/* sim/run/allotment.c - deals the volume of each spray, in order of size, out to the droplets of a batch.
 *
 * Each droplet has a piece of the volume: its weight is the piece, exactly, and its size lies somewhere in it.
 * Pieces are small where drift is undecided (stratified sampling with the numbers of J. Neyman, J. R. Stat. Soc. 97
 * (1934) 558: in proportion to volume times standard deviation, over the root of the cost), and nowhere larger than
 * 2.3 times those of equal droplets, however wrong the guess of what is undecided. */
#include "run/allotment.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "air/wind.h"
#include "base/elementary.h"
#include "base/moist_air.h"
#include "base/status.h"
#include "droplet/droplet.h"

/* Choices: a tenth of the droplets evenly over the cells, so that rare sizes are known, too; of the others half by
 * volume, half where drift is undecided. Neither gives a size more than MOST_OF_VOLUME times its share of the
 * volume. */
#define EVEN_SHARE 0.1
#define UNDECIDED_SHARE 0.45
#define MOST_OF_VOLUME 14.0
#define STILL_AIR_M_S 0.05        /* stands for the eddies of the wind where there are less */
#define FIRST_SHARE 1e-3          /* the outermost cells hold the tails */
#define SMALLEST_M 2e-6

/* Edges of the cells as shares of volume: equal steps of ln d between the tails. */
static void size_edges(const sprayer_spectrum *spectrum, double edge[RUN_CELLS + 1])
{
    const double low = base_log(sprayer_spectrum_quantile_m(spectrum, FIRST_SHARE));
    const double high = base_log(sprayer_spectrum_quantile_m(spectrum, 1.0 - FIRST_SHARE));
    edge[0] = 0.0;
    edge[RUN_CELLS] = 1.0;
    for (int i = 1; i < RUN_CELLS; i++)
        edge[i] = sprayer_spectrum_share_below(spectrum, base_exp(low + (high - low) * (i - 1.0) / (RUN_CELLS - 2.0)));
}

/* How undecided it is whether a droplet drifts, over what it costs: standard deviation of a yes or no with the chance
 * p, over the root of the steps. p falls with the speed of fall over that of the wind's eddies (H. Rouse's number,
 * Trans. ASCE 102 (1937) 463); docs/theory.md, section 6, has it beside the drift of the shipped scenarios. What drifts
 * flies about twice as long as what does not. */
static double undecided(double fall_m_s, double eddies_m_s)
{
    const double ratio = fall_m_s / eddies_m_s, p = 1.0 / (1.0 + ratio * ratio);
    return sqrt(p * (1.0 - p) / (1.0 + p));
}

/* Cuts a spray into cells; fills what it wants of each where drift is undecided. */
static void cut(const drupelet_scenario *scenario, const sprayer_spray *spray, run_spray *s, double want[RUN_CELLS])
{
    const scenario_weather *w = &scenario->weather;
    const base_air air = base_moist_air(w->temperature_K, w->relative_humidity, w->pressure_Pa);
    const double eddies_m_s = fmax(AIR_VON_KARMAN * air_wind_of(scenario).friction_open_m_s, STILL_AIR_M_S);
    double edge[RUN_CELLS + 1];
    size_edges(&spray->spectrum, edge);
    for (int i = 0; i < RUN_CELLS; i++) {
        const double volume = fmax(edge[i + 1] - edge[i], 0.0); /* a measured table may leave gaps */
        for (int q = 0; q < RUN_QUANTILES; q++) {
            const double at = edge[i] + volume * fmin(fmax(q / (RUN_QUANTILES - 1.0), 1e-4), 1.0 - 1e-4);
            s->log_diameter[i][q] = base_log(fmax(sprayer_spectrum_quantile_m(&spray->spectrum, at), SMALLEST_M));
        }
        const double middle_m = base_exp(s->log_diameter[i][RUN_QUANTILES / 2]);
        const double fall_m_s = droplet_settling_speed_m_s(middle_m, spray->droplet_density_kg_m3,
                                                           scenario->liquid.surface_tension_N_m, &air);
        s->volume_up_to[i + 1] = s->volume_up_to[i] + volume;
        want[i] = volume * undecided(fall_m_s, eddies_m_s);
    }
}

/* Number and weight of each spray's droplets; both sums are exact. One droplet for each spray, the rest by wish. */
static void deal(run_allotment *a, double (*want)[RUN_CELLS])
{
    double want_sum = 0.0, share_sum = 0.0, all = 0.0, wish = 0.0, share = 0.0;
    for (int i = 0; i < a->n_sprays; i++)
        for (int k = 0; k < RUN_CELLS; k++)
            want_sum += a->spray[i].share * want[i][k];
    for (int i = 0; i < a->n_sprays; i++) {
        run_spray *s = &a->spray[i];
        share_sum += s->share;
        for (int k = 0; k < RUN_CELLS; k++) {
            const double volume = s->volume_up_to[k + 1] - s->volume_up_to[k];
            const double most = MOST_OF_VOLUME * volume, even = fmin(1.0 / RUN_CELLS, most);
            const double more = want_sum > 0.0 ? fmin(want[i][k] / want_sum, most) : volume;
            s->wish_up_to[k + 1] = s->wish_up_to[k] + EVEN_SHARE * even + UNDECIDED_SHARE * more
                                   + (1.0 - EVEN_SHARE - UNDECIDED_SHARE) * volume;
        }
        all += s->share * s->wish_up_to[RUN_CELLS];
    }
    int64_t given = 0, weight_given = 0;
    for (int i = 0; i < a->n_sprays; i++) { /* running sums leave no remainder */
        run_spray *s = &a->spray[i];
        const int last = i + 1 == a->n_sprays;
        const double spare = (double)(a->per_batch - a->n_sprays), whole = s->wish_up_to[RUN_CELLS];
        wish += s->share * whole;
        share += s->share;
        const int64_t up_to = last ? a->per_batch : i + 1 + (int64_t)(spare * wish / all);
        const int64_t weight_up_to = last ? a->batch_weight : (int64_t)((double)a->batch_weight * (share / share_sum));
        s->first = given;
        s->n = up_to - given;
        s->weight = weight_up_to - weight_given;
        given = up_to;
        weight_given = weight_up_to;
        for (int k = 1; k <= RUN_CELLS; k++) {
            s->wish_up_to[k] /= whole;
            s->volume_up_to[k] = k < RUN_CELLS ? s->volume_up_to[k] : 1.0;
        }
    }
}

drupelet_status run_allotment_make(const drupelet_scenario *scenario, const sprayer_work *work, const double share[],
                                   int64_t per_batch, int64_t batch_weight, run_allotment *allotment)
{
    const size_t most = (size_t)work->n_sprays;
    double(*want)[RUN_CELLS] = calloc(most, sizeof *want);
    *allotment = (run_allotment){.per_batch = per_batch, .batch_weight = batch_weight};
    allotment->spray = calloc(most, sizeof *allotment->spray);
    drupelet_status status =
        want && allotment->spray ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the spray");
    for (int i = 0; i < work->n_sprays && status.code == DRUPELET_OK; i++) {
        if (!(share[i] > 0.0)) /* all its nozzles are plugged, or shut on every pass */
            continue;
        run_spray *s = &allotment->spray[allotment->n_sprays];
        s->i_spray = i;
        s->share = share[i];
        cut(scenario, &work->spray[i], s, want[allotment->n_sprays++]);
    }
    assert(status.code != DRUPELET_OK || per_batch >= allotment->n_sprays);
    if (status.code == DRUPELET_OK)
        deal(allotment, want);
    else
        run_allotment_end(allotment);
    free(want);
    return status;
}

void run_allotment_end(run_allotment *allotment)
{
    free(allotment->spray);
    allotment->spray = NULL;
}

/* The cell in which a running sum, given at its borders, reaches a value; an empty cell is never it. */
static int cell_at(const double up_to[RUN_CELLS + 1], double value)
{
    int low = 0, high = RUN_CELLS - 1;
    while (low < high) {
        const int middle = (low + high) / 2;
        if (value < up_to[middle + 1])
            high = middle;
        else
            low = middle + 1;
    }
    while (low > 0 && !(up_to[low + 1] > up_to[low]))
        low--;
    return low;
}

/* Share of volume below the place where a share of the droplets is below. */
static double volume_at(const run_spray *s, double wish)
{
    const int k = cell_at(s->wish_up_to, wish);
    const double along = (wish - s->wish_up_to[k]) / (s->wish_up_to[k + 1] - s->wish_up_to[k]);
    const double volume = s->volume_up_to[k] + fmin(along, 1.0) * (s->volume_up_to[k + 1] - s->volume_up_to[k]);
    return fmin(fmax(volume, 0.0), 1.0);
}

static double diameter_m(const run_spray *s, double volume)
{
    const int k = cell_at(s->volume_up_to, volume);
    const double along = (volume - s->volume_up_to[k]) / (s->volume_up_to[k + 1] - s->volume_up_to[k]);
    const double f = fmin(fmax(along, 0.0), 1.0) * (RUN_QUANTILES - 1);
    const int q = f < RUN_QUANTILES - 2 ? (int)f : RUN_QUANTILES - 2;
    return base_exp(s->log_diameter[k][q] + (f - q) * (s->log_diameter[k][q + 1] - s->log_diameter[k][q]));
}

run_drawn run_allotment_draw(const run_allotment *a, int64_t i, double at)
{
    int low = 0, high = a->n_sprays - 1;
    while (low < high) {
        const int middle = (low + high + 1) / 2;
        if (a->spray[middle].first <= i)
            low = middle;
        else
            high = middle - 1;
    }
    const run_spray *s = &a->spray[low];
    const int64_t k = i - s->first;
    const double from = k > 0 ? volume_at(s, (double)k / (double)s->n) : 0.0;
    const double to = k + 1 < s->n ? volume_at(s, ((double)k + 1.0) / (double)s->n) : 1.0;
    const int64_t weight_from = (int64_t)((double)s->weight * from);
    const int64_t weight_to = k + 1 < s->n ? (int64_t)((double)s->weight * to) : s->weight;
    return (run_drawn){s->i_spray, weight_to - weight_from, diameter_m(s, from + at * (to - from))};
}

run_drawn run_allotment_pick(const run_allotment *a, double spray, double size)
{
    double all = 0.0, up_to = 0.0;
    int i = 0;
    for (int k = 0; k < a->n_sprays; k++)
        all += a->spray[k].share;
    for (up_to = a->spray[0].share; i + 1 < a->n_sprays && spray * all >= up_to; up_to += a->spray[i].share)
        i++;
    return (run_drawn){a->spray[i].i_spray, 0, diameter_m(&a->spray[i], size)};
}
