/* sim/report/score_collectors.c - measurements on dishes, lines and cards, beside the virtual collectors of a result.
 *
 * A measurement names its collector, or says where it stood; then exactly one of its kind must stand there. Of a line a
 * height asks for the piece there. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/status.h"
#include "report/score_cells.h"

/* What the units of score_unit_of_collector() are called in a result. */
static const struct {
    const char *unit;
    run_measure measure;
} UNIT[SCORE_UNITS] = {
    {"percent of rate", RUN_PERCENT_OF_RATE},
    {"uL/cm2", RUN_CAUGHT},
    {"1/cm2", RUN_DROPLETS},
    {"percent of area", RUN_COVERAGE},
};

const char *report_score_unit_of_collector(int i)
{
    return UNIT[i].unit;
}

static bool covers(const result_collector *c, double height_m)
{
    return height_m >= c->height_m - SCORE_PLACE_SLACK_M && height_m <= c->top_m + SCORE_PLACE_SLACK_M;
}

/* Names of the collectors of a kind, for a message. */
static void list_names(const drupelet_result *r, int kind, char list[256])
{
    list[0] = '\0';
    for (int i = 0; i < r->n_collectors; i++)
        if (r->collector[i].kind == kind) base_add_word(list, 256, ", ", r->collector[i].name);
    if (list[0] == '\0') snprintf(list, 256, "it has no %s", scenario_collector_kind_name(kind));
}

static const result_collector *by_name(score_reading *in, int kind)
{
    const drupelet_result *r = in->r;
    char list[256];
    for (int i = 0; i < r->n_collectors; i++)
        if (strcmp(r->collector[i].name, score_text(in, SCORE_COLLECTOR_NAME)) == 0) {
            if (r->collector[i].kind == kind) return &r->collector[i];
            score_refuse(in, SCORE_KIND, "%s, which this collector is in the result",
                         scenario_collector_kind_name(r->collector[i].kind));
            return NULL;
        }
    list_names(r, kind, list);
    score_refuse(in, SCORE_COLLECTOR_NAME, "the name of a %s of the result: %s", scenario_collector_kind_name(kind),
                 list);
    return NULL;
}

static const result_collector *by_place(score_reading *in, int kind, double distance_m, double height_m)
{
    const drupelet_result *r = in->r;
    const result_collector *found = NULL;
    char list[256];
    for (int i = 0; i < r->n_collectors; i++) {
        const result_collector *c = &r->collector[i];
        if (c->kind != kind || fabs(c->distance_m - distance_m) > SCORE_PLACE_SLACK_M
            || (height_m >= 0.0 && !covers(c, height_m)))
            continue;
        if (found) {
            score_refuse(in, SCORE_DISTANCE, "a place with one %s: name it in the column collector (%s or %s)",
                         scenario_collector_kind_name(kind), found->name, c->name);
            return NULL;
        }
        found = c;
    }
    list_names(r, kind, list);
    if (!found)
        score_refuse(in, SCORE_DISTANCE, "a place where a %s of the result stands: %s",
                     scenario_collector_kind_name(kind), list);
    return found;
}

/* The piece of a line at a height; NULL: it has none there. */
static const result_collector_part *piece_at(const drupelet_result *r, const result_collector *c, double height_m)
{
    for (int k = 0; k < c->n_parts; k++) {
        const result_collector_part *part = &r->collector_part[c->first_part + k];
        if (height_m >= part->low_m && (height_m < part->high_m || (k + 1 == c->n_parts && height_m <= part->high_m)))
            return part;
    }
    return NULL;
}

/* Area that the catch is over, cm2; 0: not known (how long a dish was). */
static double area_cm2(const result_collector *c, const result_collector_part *part)
{
    const double length_m = part ? part->high_m - part->low_m : c->top_m - c->height_m;
    return 1e4 * c->width_m * (c->kind == SCENARIO_LINE ? length_m : c->kind == SCENARIO_CARD ? c->width_m : 0.0);
}

void score_read_collector(score_reading *in, int kind, int i_unit, score_pair *pair)
{
    static const score_column unused[] = {SCORE_SPAN, SCORE_ROW, SCORE_THIRD, SCORE_SIDE};
    const drupelet_result *r = in->r;
    const result_collector_part *part = NULL;
    score_leave_empty(in, scenario_collector_kind_name(kind), 4, unused);
    const bool named = score_given(in, SCORE_COLLECTOR_NAME), high = score_given(in, SCORE_HEIGHT);
    const double height_m = score_number_or(in, SCORE_HEIGHT, 0, 1000, "a height in m", -1.0);
    if (named && score_given(in, SCORE_DISTANCE))
        score_refuse(in, SCORE_DISTANCE, "nothing: the collector's name says it");
    if (named && high && kind != SCENARIO_LINE) score_refuse(in, SCORE_HEIGHT, "nothing: the collector's name says it");
    const double distance_m = named ? 0.0 : score_number_of(in, SCORE_DISTANCE, -10000, 10000, "a distance in m");
    if (!score_fine(in)) return;
    const result_collector *c = named ? by_name(in, kind) : by_place(in, kind, distance_m, height_m);
    if (!c) return;
    if (high && kind == SCENARIO_LINE && !(part = piece_at(r, c, height_m))) {
        score_refuse(in, SCORE_HEIGHT, "a height on the line, from %g m to %g m", c->height_m, c->top_m);
        return;
    }
    const tally_estimate e = (part ? &part->measured : &c->measured)->of[UNIT[i_unit].measure];
    if (!isfinite(e.share)) {
        score_refuse(in, SCORE_UNIT,
                     "a unit that the result has of this collector: cover is known of water-sensitive "
                     "paper, volumes where the sprayer has a rate");
        return;
    }
    in->area_cm2 = area_cm2(c, part);
    pair->value.simulated = e.share;
    pair->value.error = e.error;
    if (part)
        snprintf(pair->place, SCORE_PLACE, "%.64s, %g m high", c->name, height_m);
    else
        snprintf(pair->place, SCORE_PLACE, "%.90s", c->name);
}

bool score_line_at(const score_reading *in, double distance_m, double height_m, score_number *net)
{
    const drupelet_result *r = in->r;
    for (int i = 0; i < r->n_collectors; i++) {
        const result_collector *c = &r->collector[i];
        if (c->kind != SCENARIO_LINE || fabs(c->distance_m - distance_m) > SCORE_PLACE_SLACK_M) continue;
        const result_collector_part *part = piece_at(r, c, height_m);
        if (!part) continue;
        *net = (score_number){part->measured.of[RUN_NET].share, part->measured.of[RUN_NET].error};
        return true;
    }
    return false;
}
