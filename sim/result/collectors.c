/* sim/result/collectors.c - what the virtual collectors caught: each as a whole, then part by part. */
#include <math.h>

#include "base/status.h"
#include "result/quantity.h"
#include "run/collect.h"

#define WHOLE(name) RESULT_FIELD(collector, result_collector, name)
#define PART(name) RESULT_FIELD(collector_part, result_collector_part, name)
#define CAUGHT "volume of spray as emitted that carried the active ingredient caught, over the collector's area"
#define OF_RATE "active ingredient caught, over volume emitted per treated area (percent of the application rate)"
#define LIQUID "volume of liquid that was left in the droplets when they were caught"
#define PASSED "volume of spray as emitted that came through its outline from the front: a catch without loss"
#define NET                                                                                                            \
    "volume of spray as emitted that came through its outline from the front less from behind; a line: downwind less " \
    "back"
#define DROPLETS "number of droplets caught"
#define COVERAGE "area covered by stains, of water-sensitive paper; not a number for other surfaces"

#define NET_RANGE RESULT_MAY_BE_NONE | RESULT_IN_SUMMARY, .low = -1e9, .high = 1e9

static const result_quantity QUANTITIES[] = {
    {"collector", NULL, RESULT_TEXT, NULL, "collector, as the scenario calls it", WHOLE(name),
     RESULT_MAY_LACK | RESULT_IN_SUMMARY, .summary = {.rank = 160, .key = "collectors", .own_key = "name"},
     .count = offsetof(drupelet_result, n_collectors), .most = SCENARIO_COLLECTORS},
    {"kind", "collector", RESULT_INT8, "1", "kind of collector", WHOLE(kind), RESULT_IN_PAGE | RESULT_IN_SUMMARY,
     .word = scenario_collector_kind_name, .n_words = SCENARIO_COLLECTOR_KINDS},
    {"x", "collector", RESULT_DOUBLE, "m", "place of its middle across the rows", WHOLE(x_m)},
    {"distance", "collector", RESULT_DOUBLE, "m",
     "distance downwind of the block; negative inside it and upwind", WHOLE(distance_m),
     RESULT_IN_PAGE | RESULT_IN_SUMMARY},
    {"height", "collector", RESULT_DOUBLE, "m", "height of its middle, of a line's lower end", WHOLE(height_m),
     RESULT_IN_PAGE | RESULT_IN_SUMMARY},
    {"top", "collector", RESULT_DOUBLE, "m", "height of its middle, of a line's upper end", WHOLE(top_m),
     RESULT_IN_PAGE | RESULT_IN_SUMMARY},
    {"width", "collector", RESULT_DOUBLE, "m", "width of a dish across the rows, edge of a card, diameter of a line",
     WHOLE(width_m)},
    {"facing", "collector", RESULT_DOUBLE, "degree",
     "direction of the front, 0 along +x, 90 up; not a number for a line", WHOLE(facing_deg), RESULT_MAY_BE_NONE},
    {"caught", "collector", RESULT_SHARE, "uL/cm2", CAUGHT, WHOLE(measured.of[RUN_CAUGHT]), RESULT_IN_PAGE | NET_RANGE},
    {"percent_of_rate", "collector", RESULT_SHARE, "percent", OF_RATE, WHOLE(measured.of[RUN_PERCENT_OF_RATE]),
     RESULT_IN_PAGE | NET_RANGE},
    {"liquid", "collector", RESULT_SHARE, "uL/cm2", LIQUID, WHOLE(measured.of[RUN_LIQUID]), NET_RANGE},
    {"passed", "collector", RESULT_SHARE, "uL/cm2", PASSED, WHOLE(measured.of[RUN_PASSED]), NET_RANGE},
    {"net", "collector", RESULT_SHARE, "uL/cm2", NET, WHOLE(measured.of[RUN_NET]), NET_RANGE},
    {"droplets", "collector", RESULT_SHARE, "1/cm2", DROPLETS, WHOLE(measured.of[RUN_DROPLETS]),
     RESULT_IN_PAGE | NET_RANGE},
    {"coverage", "collector", RESULT_SHARE, "percent", COVERAGE, WHOLE(measured.of[RUN_COVERAGE]),
     RESULT_IN_PAGE | NET_RANGE},
    {"part", NULL, RESULT_INT32, "1", "part of a collector: a piece of a line's height; dishes and cards have one",
     .use = RESULT_MAY_LACK | RESULT_IN_SUMMARY, .summary = {.key = "parts"}, .place.none = true,
     .count = offsetof(drupelet_result, n_collector_parts), .first = 1,
     .most = 1 << 16},
    {"part_collector", "part", RESULT_INT32, "1", "which collector it is of, counted from 1", PART(collector), .low = 1,
     .high = SCENARIO_COLLECTORS},
    {"part_low", "part", RESULT_DOUBLE, "m", "height of its lower end", PART(low_m), RESULT_IN_SUMMARY},
    {"part_high", "part", RESULT_DOUBLE, "m", "height of its upper end", PART(high_m), RESULT_IN_SUMMARY},
    {"part_caught", "part", RESULT_SHARE, "uL/cm2", CAUGHT, PART(measured.of[RUN_CAUGHT]), NET_RANGE},
    {"part_percent_of_rate", "part", RESULT_SHARE, "percent", OF_RATE, PART(measured.of[RUN_PERCENT_OF_RATE]),
     NET_RANGE},
    {"part_liquid", "part", RESULT_SHARE, "uL/cm2", LIQUID, PART(measured.of[RUN_LIQUID]), NET_RANGE},
    {"part_passed", "part", RESULT_SHARE, "uL/cm2", PASSED, PART(measured.of[RUN_PASSED]), NET_RANGE},
    {"part_net", "part", RESULT_SHARE, "uL/cm2", NET, PART(measured.of[RUN_NET]), NET_RANGE},
    {"part_droplets", "part", RESULT_SHARE, "1/cm2", DROPLETS, PART(measured.of[RUN_DROPLETS]), NET_RANGE},
    {"part_coverage", "part", RESULT_SHARE, "percent", COVERAGE, PART(measured.of[RUN_COVERAGE]), NET_RANGE},
};

static void count(const run_outcome *o, drupelet_result *r)
{
    r->n_collectors = o->collectors ? o->collectors->n : 0;
    r->n_collector_parts = o->collectors ? o->collectors->n_pieces : 0;
}

static drupelet_status fill(const run_outcome *o, drupelet_result *r)
{
    for (int i = 0; i < r->n_collectors; i++) {
        const run_collector *from = &o->collectors->collector[i];
        const scenario_collector *as = from->as;
        result_collector *c = &r->collector[i];
        *c =
            (result_collector){.name = result_copy(as->name),
                               .kind = (int8_t)as->kind,
                               .x_m = as->x_m,
                               .distance_m = tally_distance_m(&o->accounts->shape, as->x_m),
                               .height_m = as->height_m,
                               .top_m = as->top_m,
                               .width_m = as->width_m,
                               .facing_deg = BASE_DEGREES_A_RADIAN * as->facing_rad,
                               .first_part = from->first_piece,
                               .n_parts = from->n_pieces,
                               .measured = run_measured_whole(o, i)};
        if (!c->name) return base_error(DRUPELET_MEMORY, "no memory for the result");
        for (int k = 0; k < from->n_pieces; k++)
            r->collector_part[from->first_piece + k] =
                (result_collector_part){.collector = i + 1,
                                        .low_m = run_collector_piece_height_m(from, k, 0),
                                        .high_m = run_collector_piece_height_m(from, k, 1),
                                        .measured = run_measured_piece(o, i, k)};
    }
    return base_ok();
}

/* Which parts are whose: those of one collector follow one another, and each has some. */
static const char *settle(drupelet_result *r, const char **found)
{
    int32_t before = 0;
    *found = "collectors whose parts do not follow one another";
    for (int i = 0; i < r->n_collector_parts; i++) {
        const int32_t of = r->collector_part[i].collector;
        if (of < before || of > before + 1 || of > r->n_collectors)
            return "part_collector";
        result_collector *c = &r->collector[of - 1];
        c->first_part = c->n_parts++ == 0 ? i : c->first_part;
        before = of;
    }
    return before == r->n_collectors ? NULL : "part_collector";
}

const result_group result_collectors = {
    "collectors", "virtual collectors, each everywhere along the rows; they do not change where the spray goes",
    QUANTITIES,   RESULT_COUNT(QUANTITIES),
    count,        fill,
    settle};
