/* sim/report/fan_note.c - does a sweep vary the fan's air, do its two kinds of drift then disagree, and which way does
 * the model lean.
 *
 * The ground deposit beside the block and what passes in the air need not rank fan speeds alike: one of them alone
 * may favour the wrong speed. Against trials the model is biased against less air: the section "Directions" and
 * check S5 of docs/validation.md. Left out: what else changes the air that reaches a row, such as travel speed and
 * outlets. */
#include "report/fan_note.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "report/tradeoff.h"
#include "scenario/node.h"

static const char FAN[] = "sprayer.fan";
#define BIAS \
    "Beside field trials the model is biased against less air: it then loses more deposit on leaves than trials " \
    "found, and among bare trees it lowers drift too little (docs/validation.md, Directions)."

/* Is the path that of the fan, of one of its keys, or of a group that holds it? */
static bool sets_fan(const char *path)
{
    const size_t n = strlen(path), fan = strlen(FAN);
    const size_t shorter = n < fan ? n : fan;
    return n > 0 && strncmp(path, FAN, shorter) == 0 && (n == fan || (n < fan ? FAN[n] == '.' : path[fan] == '.'));
}

/* A factor's name in the file has "_" where the plan has a character other than letters and digits. */
static bool same_name(const char *in_plan, const char *in_file)
{
    for (; *in_plan && *in_file; in_plan++, in_file++)
        if (*in_file != (isalnum((unsigned char)*in_plan) && (unsigned char)*in_plan < 0x80 ? *in_plan : '_'))
            return false;
    return *in_plan == '\0' && *in_file == '\0';
}

/* Does an option of the factor, which has no key of its own, set the fan? Only the plan says so. */
static bool option_sets_fan(const scenario_node *plan, const store_sweep_factor *factor)
{
    const scenario_node *list = scenario_node_find(plan, "factors");
    for (const scenario_node *node = list ? list->first : NULL; node; node = node->next) {
        const scenario_node *name = scenario_node_find(node, "name"), *options = scenario_node_find(node, "options");
        if (!name || !name->text || !same_name(name->text, factor->name))
            continue;
        for (const scenario_node *option = options ? options->first : NULL; option; option = option->next)
            for (const scenario_node *key = option->first; key; key = key->next)
                if (key->key && sets_fan(key->key))
                    return true;
    }
    return false;
}

static bool differs(const store_sweep *s, int f)
{
    for (int64_t c = 1; c < s->head.n_cases; c++)
        if (s->setting[f][c] != s->setting[f][0])
            return true;
    return false;
}

/* The first factor that varies the fan, or -1. */
static int find_factor(const store_sweep *s)
{
    scenario_node *plan = NULL; /* a plan that cannot be read names no options: the factors' own keys still count */
    const drupelet_status status =
        scenario_node_load("plan", s->head.plan_text, strlen(s->head.plan_text), SCENARIO_NODE_LONG, &plan);
    int found = -1;
    for (int f = 0; f < s->head.n_factors && found < 0; f++) {
        const store_sweep_factor *factor = &s->head.factor[f];
        const bool fan = factor->key[0] ? sets_fan(factor->key)
                                        : status.code == DRUPELET_OK && option_sets_fan(plan, factor);
        if (fan && differs(s, f))
            found = f;
    }
    scenario_node_free(plan);
    return found;
}

static int least_level(const report_effect *e, report_role role)
{
    int least = 0;
    for (int l = 1; l < e->n_levels; l++)
        if (e->level[l].mean[role].share < e->level[least].mean[role].share)
            least = l;
    return least;
}

/* The ground deposit takes the place of the gain, what is airborne that of the loss. */
static drupelet_status compare(const store_sweep *s, report_fan_note *note)
{
    const report_question question = {.output = {note->i_ground, note->i_airborne}, .a = -1, .b = -1};
    report_tradeoff *t = calloc(1, sizeof *t);
    drupelet_status status =
        t ? report_tradeoff_create(s, &question, t) : base_error(DRUPELET_MEMORY, "no memory for the sweep's answers");
    if (status.code == DRUPELET_OK && t->effect[note->i_factor].n_levels > 1) {
        const report_effect *e = &t->effect[note->i_factor];
        const int ground = least_level(e, REPORT_GAIN), airborne = least_level(e, REPORT_LOSS);
        tally_estimate d[REPORT_BESIDE] = {{0.0, 0.0}, {0.0, 0.0}};
        status = report_level_difference(t, note->i_factor, airborne, ground, d);
        if (status.code == DRUPELET_OK) {
            note->compared = true;
            note->opposite = ground != airborne && d[REPORT_GAIN].share > REPORT_BEYOND_NOISE * d[REPORT_GAIN].error
                             && -d[REPORT_LOSS].share > REPORT_BEYOND_NOISE * d[REPORT_LOSS].error;
            snprintf(note->least_ground, sizeof note->least_ground, "%s", e->level[ground].label);
            snprintf(note->least_airborne, sizeof note->least_airborne, "%s", e->level[airborne].label);
        }
        report_tradeoff_free(t);
    }
    free(t);
    return status;
}

static void write_text(const store_sweep *s, report_fan_note *note)
{
    static const char bias[] = BIAS;
    const char *factor = s->head.factor[note->i_factor].name;
    const char *ground = result_column_of(note->i_ground).name, *airborne = result_column_of(note->i_airborne).name;
    char least[320] = "";
    if (note->compared && strcmp(note->least_ground, note->least_airborne) == 0)
        snprintf(least, sizeof least, "on the mean of the points both %s and %s are least at %s", ground, airborne,
                 note->least_ground);
    else if (note->compared)
        snprintf(least, sizeof least, "on the mean of the points %s is least at %s, %s at %s", ground,
                 note->least_ground, airborne, note->least_airborne);
    if (!note->compared)
        snprintf(note->text, sizeof note->text, "%.60s sets the fan. %s", factor, bias);
    else if (note->opposite)
        snprintf(note->text, sizeof note->text,
                 "%.60s sets the fan, and the two kinds of drift rank its settings oppositely, beyond noise: %s. Look "
                 "at both. %s",
                 factor, least, bias);
    else
        snprintf(note->text, sizeof note->text,
                 "%.60s sets the fan, and ground and airborne drift can rank its settings oppositely, so look at both: "
                 "%s. %s",
                 factor, least, bias);
}

const char *report_fan_note_of_results(void)
{
    return "The fan's air differs, and ground and airborne drift can rank such settings oppositely, so look at both. "
        BIAS;
}

drupelet_status report_fan_note_of(const store_sweep *sweep, report_fan_note *note)
{
    *note = (report_fan_note){.i_factor = find_factor(sweep),
                              .i_ground = result_column_named("ground_5_m"),
                              .i_airborne = result_column_named("airborne_5_m")};
    if (note->i_factor < 0)
        return base_ok();
    const drupelet_status status = compare(sweep, note);
    if (status.code == DRUPELET_OK)
        write_text(sweep, note);
    else
        *note = (report_fan_note){.i_factor = -1};
    return status;
}
