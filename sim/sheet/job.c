/* sim/sheet/job.c - the job in numbers.
 *
 * A pass treats the treated width over the number of passes (sprayer/work.c), so that alleys that are skipped and sides
 * that are shut count as they are driven. The distance to drive is area over that width, and there is a turn between
 * passes. The tank is filled for the volume that is sprayed; the last fill holds the rest. */
#include "sheet/job.h"

#include <math.h>
#include <stdio.h>

#include "base/number.h"
#include "scenario/units.h"

/* Diesel for work at the shaft (memory: 0.25 to 0.35 L/kWh of tractor engines at part load). */
#define FUEL_L_KWH 0.30

sheet_job sheet_job_none(void)
{
    const double none = (double)NAN;
    return (sheet_job){.course_m = none,
                       .timed_s = none,
                       .area_m2 = none,
                       .row_length_m = none,
                       .turn_s = none,
                       .refill_s = none,
                       .fuel_m3_s = none};
}

/* Up to the next whole number, but for a rounding. */
static double whole_up(double value)
{
    return ceil(value * (1.0 - BASE_ROUNDING));
}

static double known_or_0(double value)
{
    return isnan(value) ? 0.0 : value;
}

sheet_job_numbers sheet_job_work_out(const drupelet_scenario *scenario, const sprayer_work *work, const sheet_job *job)
{
    const double speed_m_s = scenario->sprayer.travel_speed_m_s, tank_m3 = scenario->sprayer.tank_m3,
                 rate_m = work->application_rate_m;
    sheet_job_numbers n;
    n.pass_width_m = work->treated_width_m / work->n_passes;
    n.spray_s_m2 = 1.0 / (speed_m_s * n.pass_width_m);
    n.area_m2 = isnan(job->area_m2) ? work->treated_width_m * job->row_length_m : job->area_m2;
    n.volume_m3 = rate_m * n.area_m2;
    n.n_passes = whole_up(n.area_m2 / (n.pass_width_m * job->row_length_m));
    n.n_turns = n.n_passes - 1.0;
    n.n_fills = whole_up(n.volume_m3 / tank_m3);
    n.n_full = floor(n.volume_m3 / tank_m3 * (1.0 + BASE_ROUNDING));
    n.last_m3 = n.n_full < n.n_fills ? n.volume_m3 - n.n_full * tank_m3 : 0.0;
    n.spraying_s = n.spray_s_m2 * n.area_m2;
    n.turning_s = n.n_turns * job->turn_s;
    n.filling_s = n.n_fills * job->refill_s;
    n.whole_s = n.spraying_s + known_or_0(n.turning_s) + known_or_0(n.filling_s);
    n.product_per_m2 = (double)NAN;
    if (job->dosed) n.product_per_m2 = job->dose.amount / job->dose.per_si * (job->dose.by_area ? 1.0 : rate_m);
    n.product = n.product_per_m2 * n.area_m2;
    n.product_tank = n.product_per_m2 * tank_m3 / rate_m;
    n.product_last = n.product_per_m2 * n.last_m3 / rate_m;
    n.fuel_m3 = job->fuel_m3_s * n.whole_s;
    return n;
}

/* ---- the sheet ---- */

static double round_course_m(sheet_system system)
{
    return system == SHEET_US ? scenario_units_to_si(SCENARIO_LENGTH, "ft", 100.0) : 50.0;
}

static void put_speed(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, const sheet_job *job,
                      const sheet_job_numbers *n)
{
    const double speed_m_s = scenario->sprayer.travel_speed_m_s, course_m = round_course_m(sheet_system_of(s));
    char label[64], course[40];
    double flow_m3_s = 0.0;
    for (int i = 0; i < work->n_nozzles; i++)
        flow_m3_s += work->nozzle[i].flow_m3_s;
    sheet_section(s, "speed", "Speed and rate");
    if (!isnan(job->timed_s)) {
        sheet_quantity(SHEET_LENGTH, sheet_system_of(s), job->course_m, course, sizeof course);
        snprintf(label, sizeof label, "timed over %s", course);
        sheet_value(s, "timed", label, SHEET_SECONDS, job->timed_s, "");
    }
    sheet_value(s, "travel_speed", "travel speed", SHEET_TRAVEL_SPEED, speed_m_s,
                isnan(job->timed_s) ? "of the scenario" : "by the timed course");
    snprintf(label, sizeof label, sheet_system_of(s) == SHEET_US ? "time for 100 ft" : "time for 50 m");
    sheet_value(s, sheet_system_of(s) == SHEET_US ? "time_100_ft" : "time_50_m", label, SHEET_SECONDS,
                course_m / speed_m_s, "time it between two sticks in the orchard, with the tank half full");
    sheet_value(s, "flow", "flow, all nozzles open", SHEET_FLOW, flow_m3_s, "");
    sheet_value(s, "rate", "application rate", SHEET_RATE, work->application_rate_m, "water for an area");
    sheet_value(s, "per_row", "along a row", SHEET_PER_ROW, work->application_rate_m * scenario->orchard.row_spacing_m,
                "");
    sheet_value(s, "spraying", "spraying alone", SHEET_TIME_AN_AREA, n->spray_s_m2, "");
    sheet_value(s, "spraying_output", "so in an hour", SHEET_AREA_A_TIME, 1.0 / n->spray_s_m2, "");
}

static void put_work(sheet *s, const sheet_job *job, const sheet_job_numbers *n)
{
    sheet_section(s, "work", "The work");
    sheet_value(s, "area", "area", SHEET_AREA, n->area_m2,
                isnan(job->area_m2) ? "of the scenario's rows at the row length given" : "as given");
    if (!isnan(n->n_passes)) {
        sheet_value(s, "passes", "passes", SHEET_COUNT, n->n_passes, "at the row length given");
        sheet_value(s, "turns", "turns", SHEET_COUNT, n->n_turns, "");
    }
    sheet_value(s, "spraying_time", "spraying", SHEET_MINUTES, n->spraying_s, "");
    if (!isnan(n->turning_s)) sheet_value(s, "turning_time", "turning", SHEET_MINUTES, n->turning_s, "");
    if (!isnan(n->filling_s))
        sheet_value(s, "filling_time", "filling the tank", SHEET_MINUTES, n->filling_s, "with the first fill");
    sheet_value(s, "whole_time", "together", SHEET_HOURS, n->whole_s,
                isnan(n->turning_s) || isnan(n->filling_s)
                    ? "what was not given is left out: --row-length with --turn, and --refill"
                    : "");
    sheet_value(s, "output", "output", SHEET_AREA_A_TIME, n->area_m2 / n->whole_s, "");
    sheet_value(s, "time_an_area", "so for an area", SHEET_TIME_AN_AREA, n->whole_s / n->area_m2, "");
}

static void put_tank(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, const sheet_job_numbers *n)
{
    const double tank_m3 = scenario->sprayer.tank_m3;
    sheet_section(s, "tank", "The tank");
    sheet_value(s, "tank", "a tank holds", SHEET_VOLUME, tank_m3, "");
    sheet_value(s, "tank_area", "it lasts for", SHEET_AREA, tank_m3 / work->application_rate_m, "");
    if (isnan(n->volume_m3)) return;
    sheet_value(s, "volume", "spray for the area", SHEET_VOLUME, n->volume_m3, "");
    sheet_value(s, "full_tanks", "full tanks", SHEET_COUNT, n->n_full, "");
    sheet_value(s, "last_tank", "and a last one of", SHEET_VOLUME, n->last_m3,
                n->last_m3 > 0.0 ? "mix no more than is sprayed" : "the full tanks are just enough");
    sheet_value(s, "last_tank_share", "which fills of the tank", SHEET_PERCENT, n->last_m3 / tank_m3, "");
}

/* "1.50 kg"; as many digits as the amount needs. */
static void put_amount(sheet *s, const char *key, const char *label, double amount, const char *unit, const char *per)
{
    if (!isnan(amount)) sheet_words(s, key, label, "%.4g %s%s", amount, unit, per);
}

static void put_product(sheet *s, const sheet_job *job, const sheet_job_numbers *n)
{
    const bool us = sheet_system_of(s) == SHEET_US;
    const char *unit = job->dose.unit;
    if (!job->dosed) return;
    sheet_section(s, "product", "Product (the dose is what you typed in: the label decides)");
    put_amount(s, "product_an_area", "for an area",
               n->product_per_m2 / sheet_in_unit(SHEET_AREA, sheet_system_of(s), 1.0), unit, us ? "/acre" : "/ha");
    put_amount(s, "product_a_tank", "into a full tank", n->product_tank, unit, "");
    if (n->last_m3 > 0.0) put_amount(s, "product_last_tank", "into the last tank", n->product_last, unit, "");
    put_amount(s, "product", "for the whole area", n->product, unit, "");
}

static void put_fuel(sheet *s, const sprayer_work *work, const sheet_job *job, const sheet_job_numbers *n)
{
    const double per_kWh = scenario_units_to_si(SCENARIO_VOLUME, "L", FUEL_L_KWH) / 3.6e6;
    sheet_section(s, "fuel", "Fuel");
    sheet_value(s, "fan", "the fan alone", SHEET_FUEL_A_TIME, work->fan_power_W * per_kWh,
                "shaft power by the fan laws at 0.30 L/kWh (memory); neither travel nor pump");
    sheet_value(s, "fan_an_area", "so for an area", SHEET_FUEL_AN_AREA, work->fan_power_W * per_kWh * n->spray_s_m2,
                "while spraying");
    if (isnan(job->fuel_m3_s)) return;
    sheet_value(s, "fuel", "the tractor, as given", SHEET_FUEL_A_TIME, job->fuel_m3_s, "");
    const double s_m2 = isnan(n->area_m2) ? n->spray_s_m2 : n->whole_s / n->area_m2;
    sheet_value(s, "fuel_an_area", "so for an area", SHEET_FUEL_AN_AREA, job->fuel_m3_s * s_m2,
                isnan(n->area_m2) ? "while spraying" : "over the whole time");
}

static void put_cost(sheet *s, const sprayer_work *work, const sheet_job *job, const sheet_job_numbers *n)
{
    static const sheet_column columns[] = {{"item", "item", 0, true},
                                           {"price", "price", 0, true},
                                           {"cost", "cost", SHEET_MONEY, false},
                                           {"cost", "cost", SHEET_MONEY_AN_AREA, false}};
    const double area_m2 = isnan(n->area_m2) ? 1.0 : n->area_m2; /* without one only the cost of an area is told */
    const double s_m2 = isnan(n->area_m2) ? n->spray_s_m2 : n->whole_s / n->area_m2;
    const double per_m2[SHEET_PRICES] = {n->product_per_m2, work->application_rate_m, job->fuel_m3_s * s_m2, s_m2,
                                         s_m2};
    double sum_m2 = 0.0;
    if (job->n_prices == 0) return;
    sheet_section(s, "cost", "Cost, from the prices typed in");
    sheet_table(s, "items", 4, columns);
    for (int i = 0; i < job->n_prices; i++) {
        const sheet_price *p = &job->price[i];
        const double cost_m2 = p->amount / p->per_si * per_m2[p->of];
        char price[48];
        snprintf(price, sizeof price, "%.6g/%s", p->amount, p->unit);
        sum_m2 += cost_m2;
        sheet_row(s, (sheet_cell[]){{.words = sheet_price_name((int)p->of)},
                                    {.words = price},
                                    {.value_si = isnan(n->area_m2) ? (double)NAN : cost_m2 * area_m2},
                                    {.value_si = cost_m2}});
    }
    sheet_row(s, (sheet_cell[]){{.words = "together"},
                                {.words = ""},
                                {.value_si = isnan(n->area_m2) ? (double)NAN : sum_m2 * area_m2},
                                {.value_si = sum_m2}});
    sheet_note(s, "Fuel, labour and machine count %s.",
               isnan(n->area_m2) ? "while spraying: with an area or a row length, over the whole time"
                                 : "over the whole time above");
}

void sheet_put_job(sheet *s, const drupelet_scenario *scenario, const sprayer_work *work, const sheet_job *job)
{
    const sheet_job_numbers n = sheet_job_work_out(scenario, work, job);
    put_speed(s, scenario, work, job, &n);
    if (!isnan(n.area_m2)) put_work(s, job, &n);
    put_tank(s, scenario, work, &n);
    put_product(s, job, &n);
    put_fuel(s, work, job, &n);
    put_cost(s, work, job, &n);
}
