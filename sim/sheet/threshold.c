/* sim/sheet/threshold.c - distances to thresholds of ground drift, and percent less than a reference.
 *
 * The curve is the mean of two neighbouring strips, 1 m, as ground samplers lie. The distance is where it falls below
 * the threshold for the last time, between two places by the logarithm of the drift: what rises again farther out, by
 * chance or not, counts. The same with the drift one standard error lower and higher gives the range.
 *
 * Percent less: 1 - a / r of the mean numbers a and r. Its error is that of the ratio of means of the paired batches:
 * the standard error of a_b - (a / r) r_b over the batches b, over r (W. G. Cochran, Sampling Techniques, 3rd ed. 1977,
 * section 6.3; memory). */
#include "sheet/threshold.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/elementary.h"
#include "tally/drift.h"

/* ---- distances ---- */

/* Number of the strip that is i-th downwind of the block, or -1. */
static int strip(const drupelet_result *r, int i)
{
    int first = 0;
    const int step = r->downwind > 0.0 ? 1 : -1, start = step > 0 ? 0 : r->n_ground - 1;
    while (first < r->n_ground && !(r->ground_distance_m[start + step * first] > 0.0))
        first++;
    return first + i < r->n_ground ? start + step * (first + i) : -1;
}

/* Place i of the curve, from 0; false behind the last. @param errors that are added to the drift */
static bool place(const drupelet_result *r, int i, double errors, double *distance_m, double *percent)
{
    const int a = strip(r, i), b = strip(r, i + 1);
    if (a < 0 || b < 0) return false;
    const tally_estimate x = r->ground_percent_of_rate[a], y = r->ground_percent_of_rate[b];
    *distance_m = 0.5 * (r->ground_distance_m[a] + r->ground_distance_m[b]);
    *percent = 0.5 * (x.share + y.share) + errors * 0.5 * base_hypot(x.error, y.error);
    return true;
}

double sheet_distance_end_m(const drupelet_result *r)
{
    double end_m = 0.0, percent = 0.0;
    for (int i = 0; place(r, i, 0.0, &end_m, &percent);)
        i++;
    return end_m;
}

static double crossing_m(const drupelet_result *r, double threshold, double errors)
{
    double last_m = 0.0, last = 0.0, at_m = 0.0, percent = 0.0, found_m = 0.0;
    bool above = false;
    for (int i = 0; place(r, i, errors, &at_m, &percent); i++) {
        if (percent < threshold && above) { /* it falls below here; a value of 0 has no logarithm */
            const double low = fmax(percent, 1e-3 * threshold);
            found_m = last_m + (at_m - last_m) * base_log(last / threshold) / base_log(last / low);
        }
        above = percent >= threshold;
        last_m = at_m;
        last = percent;
    }
    return above ? INFINITY : found_m;
}

sheet_distance sheet_distance_below(const drupelet_result *r, double percent)
{
    return (sheet_distance){crossing_m(r, percent, 0.0), crossing_m(r, percent, -1.0), crossing_m(r, percent, 1.0)};
}

/* ---- beside a reference ---- */

bool sheet_comparable(const drupelet_result *result, const drupelet_result *reference, char *reason, size_t room)
{
    reason[0] = '\0';
    if (result->seed != reference->seed)
        snprintf(reason, room,
                 "the reference has seed %llu, the result %llu: run one of them with --seed of the other, so "
                 "that both have the same droplets",
                 (unsigned long long)reference->seed, (unsigned long long)result->seed);
    else if (result->computed_wind != reference->computed_wind)
        snprintf(reason, room, "one has a computed wind, the other assumed profiles: run both with one run.wind");
    else if (strcmp(result->version, reference->version) != 0)
        snprintf(reason, room, "the reference comes from version %.40s, the result from %.40s: run both with one",
                 reference->version, result->version);
    else if (result->n_batched == 0 || reference->n_batched == 0)
        snprintf(reason, room, "a file without batches has no errors of differences: run it again");
    return reason[0] == '\0';
}

tally_estimate sheet_percent_less(const drupelet_result *result, const drupelet_result *reference, int target)
{
    const float *a = result->batch_percent + target * TALLY_BATCHES,
                *r = reference->batch_percent + target * TALLY_BATCHES;
    double sum_a = 0.0, sum_r = 0.0, squares = 0.0;
    int n = 0;
    for (int b = 0; b < TALLY_BATCHES; b++) {
        if (!isfinite(a[b]) || !isfinite(r[b])) continue;
        sum_a += (double)a[b];
        sum_r += (double)r[b];
        n++;
    }
    const double ratio = sum_a / sum_r, mean_r = sum_r / n;
    for (int b = 0; b < TALLY_BATCHES; b++)
        if (isfinite(a[b]) && isfinite(r[b])) {
            const double off = (double)a[b] - ratio * (double)r[b];
            squares += off * off;
        }
    if (n < 2 || !(sum_r > 0.0)) return (tally_estimate){(double)NAN, (double)NAN};
    return (tally_estimate){100.0 * (1.0 - ratio), 100.0 * sqrt(squares / n / (n - 1.0)) / mean_r};
}

/* ---- the sheet ---- */

static void words_of(const sheet *s, double at_m, double end_m, char *text, size_t room)
{
    char end[32];
    sheet_quantity(SHEET_LENGTH, sheet_system_of(s), end_m, end, sizeof end);
    if (isinf(at_m))
        snprintf(text, room, "beyond %s", end);
    else
        sheet_quantity(SHEET_LENGTH, sheet_system_of(s), at_m, text, room);
}

static void put_thresholds(sheet *s, const drupelet_result *r, int n, const double percent[])
{
    static const sheet_column columns[] = {{"below_percent", "below, % of the rate", SHEET_RATIO, false},
                                           {"distance", "from", SHEET_LENGTH, false},
                                           {"near", "one error less", SHEET_LENGTH, false},
                                           {"far", "one error more", SHEET_LENGTH, false},
                                           {"words", "", 0, true}};
    const double end_m = sheet_distance_end_m(r);
    sheet_table(s, "thresholds", 5, columns);
    for (int i = 0; i < n; i++) {
        const sheet_distance d = sheet_distance_below(r, percent[i]);
        char at[48], words[120] = "";
        words_of(s, d.at_m, end_m, at, sizeof at);
        if (isinf(d.at_m))
            snprintf(words, sizeof words, "%s, the end of what was simulated", at);
        else if (isinf(d.far_m))
            snprintf(words, sizeof words, "not sure within what was simulated: more droplets, or more open ground");
        else if (d.at_m == 0.0)
            snprintf(words, sizeof words, "below it from the block's edge on");
        sheet_row(s, (sheet_cell[]){{.value_si = percent[i]},
                                    {.value_si = d.at_m},
                                    {.value_si = d.near_m},
                                    {.value_si = d.far_m},
                                    {.words = words}});
    }
}

/* The numbers of one kind of drift beside those of the reference. */
static void put_kind(sheet *s, const drupelet_result *r, const drupelet_result *ref, scenario_drift_kind kind,
                     const char *key, const tally_estimate of_r[], const tally_estimate of_ref[])
{
    static const sheet_column columns[] = {{"distance", "distance", SHEET_LENGTH, false},
                                           {"percent", "this result, %", SHEET_RATIO, false},
                                           {"reference_percent", "reference, %", SHEET_RATIO, false},
                                           {"less_percent", "less, % of the reference", SHEET_RATIO, false}};
    const int first = scenario_drift_first(kind);
    sheet_table(s, key, 4, columns);
    for (int i = 0; i < scenario_drift_count(kind); i++) {
        const tally_estimate less = sheet_percent_less(r, ref, SCENARIO_TARGET_DRIFT + first + i);
        sheet_row(s, (sheet_cell[]){{.value_si = scenario_drift_numbers[first + i].distance_m},
                                    {.value_si = of_r[i].share, .error_si = of_r[i].error},
                                    {.value_si = of_ref[i].share, .error_si = of_ref[i].error},
                                    {.value_si = less.share, .error_si = less.error}});
    }
}

void sheet_put_distances(sheet *s, const drupelet_result *r, const drupelet_result *ref, int n, const double percent[])
{
    sheet_section(s, "distance", "Distance downwind from which the ground drift stays below a percentage");
    sheet_words(s, "result", "result", "%s, seed %llu, %lld droplets", r->name, (unsigned long long)r->seed,
                (long long)r->n_droplets);
    sheet_words(s, "wind", "wind", "%.3g m/s at %.3g m, %.0f deg; %s", r->wind_speed_m_s, r->wind_height_m,
                r->wind_angle_deg, r->computed_wind ? "computed around the block" : "assumed profiles");
    put_thresholds(s, r, n, percent);
    sheet_picture(s, sheet_distances_picture(r, ref, n, percent, sheet_system_of(s)));
    for (int i = 0; i < r->n_warnings; i++)
        sheet_note(s, "%s", r->warning[i].sentence);
    sheet_note(
        s, "Drift on the ground, mean over 1 m, percent of the application rate, in this one weather. Distances are "
           "those from which it stays below, by one standard error of the sampling less and more; how far the model "
           "is from the field they do not tell. They are no buffer zones: label and law set those.");
    if (!ref) return;
    sheet_section(s, "reference", "Less than the reference");
    sheet_words(s, "reference_result", "reference", "%s, %lld droplets", ref->name, (long long)ref->n_droplets);
    put_thresholds(s, ref, n, percent);
    sheet_note(s, "Above: the distances of the reference. On the ground, percent of the application rate:");
    put_kind(s, r, ref, SCENARIO_DRIFT_GROUND, "ground", r->curve_percent, ref->curve_percent);
    sheet_note(s, "In the air, all heights, percent of the output:");
    put_kind(s, r, ref, SCENARIO_DRIFT_AIRBORNE, "airborne", r->flux_percent, ref->flux_percent);
    sheet_note(
        s, "Both have the same random numbers and one model of the air, and the errors are those of the differences "
           "batch by batch. A minus means more than the reference. This is not an official drift class: those come "
           "from measurements by a standard.");
}
