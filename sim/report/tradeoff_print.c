/* sim/report/tradeoff_print.c - the answers from a sweep as text and as JSON. */
#include <math.h>
#include <string.h>

#include "drupelet/run.h"
#include "report/model_error.h"
#include "report/text.h"
#include "report/tradeoff.h"

enum { MOST_SHOWN = 40, MOST_NUMBERS = 12 }; /* of the front; of points that are named by number alone */

static void settings_of(const report_tradeoff *t, int64_t p, FILE *to)
{
    for (int f = 0; f < t->sweep->head.n_factors; f++) {
        char text[96];
        report_setting(t->sweep, p, f, text);
        fprintf(to, "%s%s %s", f > 0 ? ", " : "", t->sweep->head.factor[f].name, text);
    }
}

static const char *amount(char text[64], tally_estimate e)
{
    if (isfinite(e.share) && e.share < 0.0) {
        text[0] = '-';
        report_amount(text + 1, 63, -e.share, e.error, " +/- ");
    } else {
        report_amount(text, 64, e.share, e.error, " +/- ");
    }
    return text;
}

/* @param equals letters of its group of equals */
static void print_point(const report_tradeoff *t, int64_t p, const char *equals, FILE *to)
{
    char text[64];
    fprintf(to, "  %6lld", (long long)p + 1);
    for (int i = 0; i < t->n_told; i++)
        fprintf(to, "  %20s", amount(text, t->of[i].mean[p]));
    fprintf(to, "  %-5s  ", equals);
    settings_of(t, p, to);
    fputc('\n', to);
}

/* "points 3, 7, 12 and 4 more" */
static void print_numbers(const int64_t *point, int64_t n, FILE *to)
{
    fputs(n == 1 ? "point" : "points", to);
    for (int64_t i = 0; i < n && i < MOST_NUMBERS; i++)
        fprintf(to, "%s %lld", i > 0 ? "," : "", (long long)point[i] + 1);
    if (n > MOST_NUMBERS)
        fprintf(to, " and %lld more", (long long)(n - MOST_NUMBERS));
}

static void print_front(const report_tradeoff *t, FILE *to)
{
    const char *gain = t->of[REPORT_GAIN].output.name, *loss = t->of[REPORT_LOSS].output.name;
    if (t->n_front == 0) {
        fputs(t->n_left_out > 0 ? "Trade-off front: none, for no point has a drift that is known.\n\n"
                                : "Trade-off front: none, for no point is known.\n\n", to);
        return;
    }
    fprintf(to, "Trade-off front: no point has more %s at no more %s.\n", gain, loss);
    fprintf(to, "  %6s", "point");
    for (int i = 0; i < t->n_told; i++)
        fprintf(to, "  %20s", t->of[i].output.name);
    fprintf(to, "  %-5s  settings\n", "equal");
    const int64_t step = (t->n_front + MOST_SHOWN - 1) / MOST_SHOWN;
    for (int64_t i = 0; i < t->n_front; i += step > 0 ? step : 1) {
        char letters[8];
        report_equals_letters(t->equals[i], letters);
        print_point(t, t->front[i], letters, to);
    }
    if (step > 1)
        fprintf(to, "  (one of %lld; --csv has all points)\n", (long long)step);
    if (t->n_equals > 0)
        fprintf(to, "Points with one letter are equal: neither %s nor %s differs by two standard errors of the "
                    "difference.\n", gain, loss);
    if (t->n_near > 0) {
        fputs("Equal to a point of the front, and so perhaps part of it: ", to);
        print_numbers(t->near, t->n_near, to);
        fputs(".\n", to);
    }
    fputc('\n', to);
}

/* Calm air must not look safe: what hangs above the orchard when the flight ends is missing from every other number. */
static void print_aloft(const report_tradeoff *t, FILE *to)
{
    if (t->n_aloft == 0)
        return;
    fprintf(to, "Still aloft: in %lld of %lld points so much is aloft when the flight ends that their drift is not "
                "known and reads too low.\n",
            (long long)t->n_aloft, (long long)t->n_points);
    if (t->n_left_out > 0)
        fputs("They are left out of front and best settings, not of the main effects.\n", to);
    for (int64_t i = 0; i < t->n_aloft && i < MOST_NUMBERS; i++) {
        fprintf(to, "  %6lld  %.3g %% of the output aloft  ", (long long)t->aloft[i] + 1,
                report_aloft_percent(t->sweep, t->aloft[i]));
        settings_of(t, t->aloft[i], to);
        fputc('\n', to);
    }
    if (t->n_aloft > MOST_NUMBERS)
        fprintf(to, "  and %lld more (--csv has all)\n", (long long)(t->n_aloft - MOST_NUMBERS));
    fputc('\n', to);
}

static void print_best(const report_tradeoff *t, FILE *to)
{
    if (t->question.n_limits == 0)
        return;
    fputs("With ", to);
    for (int i = 0; i < t->question.n_limits; i++) {
        const report_limit *limit = &t->question.limit[i];
        const result_column o = result_column_of(limit->i_output);
        fprintf(to, "%s%s %s %g %s", i > 0 ? " and " : "", o.name, limit->at_least ? ">=" : "<=", limit->value,
                o.units);
    }
    if (t->best < 0) {
        fprintf(to, ": no point%s.\n\n", t->n_left_out > 0 ? " of those whose drift is known" : "");
        return;
    }
    fprintf(to, ": %lld of %lld points. Most %s:\n", (long long)t->n_within, (long long)t->n_known,
            t->of[REPORT_GAIN].output.name);
    print_point(t, t->best, "", to);
    if (t->n_as_good > 0) {
        fputs("As good within two standard errors of the difference: ", to);
        print_numbers(t->as_good, t->n_as_good, to);
        fputs(".\n", to);
    }
    if (t->safest == t->best) {
        fputs("It holds the limits by two standard errors or more.\n\n", to);
    } else if (t->safest < 0) {
        fputs("No point holds the limits by two standard errors: more droplets would tell.\n\n", to);
    } else {
        fputs("It is within two standard errors of a limit. The best that holds them by two:\n", to);
        print_point(t, t->safest, "", to);
        fputc('\n', to);
    }
}

static void print_effects(const report_tradeoff *t, FILE *to)
{
    char text[64];
    fprintf(to, "Main effects: means over all points of a level%s.\n",
            t->drawn ? " (their errors have the scatter of the other factors in them)" : "");
    for (int f = 0; f < t->sweep->head.n_factors; f++) {
        const report_effect *e = &t->effect[f];
        fprintf(to, "%s\n", t->sweep->head.factor[f].name);
        for (int l = 0; l <= e->n_levels; l++) { /* the levels, then the range of their means */
            const bool range = l == e->n_levels;
            const report_level *level = &e->level[range ? 0 : l];
            if (range)
                fprintf(to, "  %-28s  %6s       ", "highest less lowest", "");
            else
                fprintf(to, "  %-28s  %6lld points", level->label, (long long)level->n);
            for (int i = 0; i < t->n_told; i++)
                fprintf(to, "  %s %20s", t->of[i].output.name, amount(text, range ? e->range[i] : level->mean[i]));
            fputc('\n', to);
        }
    }
    fputc('\n', to);
}

static void print_index(const char *name, const report_index *i, FILE *to)
{
    fprintf(to, "  %-28s  first order %6.3f (%6.3f to %6.3f)   total %6.3f (%6.3f to %6.3f)\n", name, i->first,
            i->first_low, i->first_high, i->total, i->total_low, i->total_high);
}

static void print_indices(const report_tradeoff *t, FILE *to)
{
    if (!t->sweep->head.indices)
        return;
    for (int role = 0; role < REPORT_BESIDE; role++) {
        fprintf(to, "Sensitivity indices of %s (shares of its variance; 95 %% confidence):\n", t->of[role].output.name);
        for (int f = 0; f < t->sweep->head.n_factors; f++)
            print_index(t->sweep->head.factor[f].name, &t->effect[f].index[role], to);
    }
    fputc('\n', to);
}

static void print_difference(const report_tradeoff *t, FILE *to)
{
    char text[64];
    const int64_t a = t->question.a, b = t->question.b;
    if (a < 0)
        return;
    fprintf(to, "Point %lld less point %lld", (long long)a + 1, (long long)b + 1);
    for (int i = 0; i < t->n_told; i++)
        fprintf(to, "%s %s %s", i > 0 ? "," : ":", t->of[i].output.name,
                amount(text, report_difference(&t->of[i], a, b)));
    fputs(".\n\n", to);
}

/* ---- JSON ---- */

static void put_estimate(base_json *j, const char *name, tally_estimate e)
{
    char error[128];
    snprintf(error, sizeof error, "%s_standard_error", name);
    base_json_number(j, name, e.share, REPORT_JSON_DIGITS);
    base_json_number(j, error, e.error, REPORT_JSON_DIGITS);
}

static void put_point(const report_tradeoff *t, const char *key, int64_t p, base_json *j)
{
    base_json_open(j, key, '{');
    base_json_whole(j, "point", (uint64_t)p + 1);
    for (int i = 0; i < t->n_told; i++)
        put_estimate(j, t->of[i].output.name, t->of[i].mean[p]);
    base_json_open(j, "settings", '{');
    for (int f = 0; f < t->sweep->head.n_factors; f++) {
        char text[96];
        report_setting(t->sweep, p, f, text);
        base_json_words(j, t->sweep->head.factor[f].name, text);
    }
    base_json_close(j, '}');
    base_json_close(j, '}');
}

static void put_point_or_null(const report_tradeoff *t, const char *key, int64_t p, base_json *j)
{
    if (p >= 0)
        put_point(t, key, p, j);
    else
        base_json_null(j, key);
}

static void put_numbers(base_json *j, const char *key, const int64_t *point, int64_t n)
{
    base_json_open(j, key, '[');
    for (int64_t i = 0; i < n; i++)
        base_json_whole(j, NULL, (uint64_t)point[i] + 1);
    base_json_close(j, ']');
}

/* Groups of points of the front that are equal to one another. */
static void put_equals(const report_tradeoff *t, base_json *j)
{
    int64_t former = 0;
    base_json_open(j, "equal_on_front", '[');
    for (int64_t i = 0; i < t->n_front; i++) {
        if (t->equals[i] == 0)
            continue;
        if (t->equals[i] != former && former > 0)
            base_json_close(j, ']');
        if (t->equals[i] != former)
            base_json_open(j, NULL, '[');
        base_json_whole(j, NULL, (uint64_t)t->front[i] + 1);
        former = t->equals[i];
    }
    if (former > 0)
        base_json_close(j, ']');
    base_json_close(j, ']');
}

static void put_index(base_json *j, const char *key, const report_index *i)
{
    const double value[6] = {i->first, i->first_low, i->first_high, i->total, i->total_low, i->total_high};
    static const char *const KEY[6] = {"first", "first_low", "first_high", "total", "total_low", "total_high"};
    base_json_open(j, key, '{');
    for (int k = 0; k < 6; k++)
        base_json_number(j, KEY[k], value[k], REPORT_JSON_DIGITS);
    base_json_close(j, '}');
}

static const char *const ROLE[REPORT_ROLES] = {"gain", "loss", "beside"};

static void put_effect(const report_tradeoff *t, int f, base_json *j)
{
    const report_effect *e = &t->effect[f];
    base_json_open(j, NULL, '{');
    base_json_words(j, "factor", t->sweep->head.factor[f].name);
    base_json_open(j, "levels", '[');
    for (int l = 0; l < e->n_levels; l++) {
        base_json_open(j, NULL, '{');
        base_json_words(j, "label", e->level[l].label);
        base_json_whole(j, "points", (uint64_t)e->level[l].n);
        for (int role = 0; role < t->n_told; role++)
            put_estimate(j, ROLE[role], e->level[l].mean[role]);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
    put_estimate(j, "gain_range", e->range[REPORT_GAIN]);
    put_estimate(j, "loss_range", e->range[REPORT_LOSS]);
    if (t->sweep->head.indices) {
        put_index(j, "gain_index", &e->index[REPORT_GAIN]);
        put_index(j, "loss_index", &e->index[REPORT_LOSS]);
    }
    base_json_close(j, '}');
}

static void put_difference(const report_tradeoff *t, base_json *j)
{
    const int64_t a = t->question.a, b = t->question.b;
    if (a < 0)
        return;
    base_json_open(j, "difference", '{');
    base_json_whole(j, "of", (uint64_t)a + 1);
    base_json_whole(j, "less", (uint64_t)b + 1);
    for (int i = 0; i < t->n_told; i++)
        put_estimate(j, t->of[i].output.name, report_difference(&t->of[i], a, b));
    base_json_close(j, '}');
}

static void put_aloft(const report_tradeoff *t, base_json *j)
{
    base_json_truth(j, "aloft_left_out", t->n_left_out > 0);
    base_json_open(j, "aloft", '[');
    for (int64_t i = 0; i < t->n_aloft; i++) {
        base_json_open(j, NULL, '{');
        base_json_whole(j, "point", (uint64_t)t->aloft[i] + 1);
        base_json_number(j, "aloft", report_aloft_percent(t->sweep, t->aloft[i]), REPORT_JSON_DIGITS);
        base_json_close(j, '}');
    }
    base_json_close(j, ']');
}

static void put_least(base_json *j, int i_column, const char *setting)
{
    char key[128];
    snprintf(key, sizeof key, "least_%s_at", result_column_of(i_column).name);
    base_json_words(j, key, setting);
}

static void put_fan(const store_sweep *s, const report_fan_note *fan, base_json *j)
{
    if (fan->i_factor < 0)
        return;
    base_json_open(j, "fan", '{');
    base_json_words(j, "factor", s->head.factor[fan->i_factor].name);
    if (fan->compared) {
        base_json_truth(j, "ranked_oppositely", fan->opposite);
        put_least(j, fan->i_ground, fan->least_ground);
        put_least(j, fan->i_airborne, fan->least_airborne);
    }
    base_json_words(j, "note", fan->text);
    base_json_close(j, '}');
}

static void print_json(const report_tradeoff *t, const report_fan_note *fan, FILE *to)
{
    base_json j = {.to = to, .lines = 2};
    base_json_open(&j, NULL, '{');
    base_json_words(&j, "name", t->sweep->head.name);
    base_json_words(&j, "caution", t->sweep->head.caution);
    for (int role = 0; role < REPORT_BESIDE; role++)
        base_json_words(&j, ROLE[role], t->of[role].output.name);
    base_json_whole(&j, "points", (uint64_t)t->n_points);
    base_json_whole(&j, "known", (uint64_t)t->n_known);
    base_json_open(&j, "front", '[');
    for (int64_t i = 0; i < t->n_front; i++)
        put_point(t, NULL, t->front[i], &j);
    base_json_close(&j, ']');
    put_equals(t, &j);
    put_numbers(&j, "equal_to_front", t->near, t->n_near);
    if (t->question.n_limits > 0) {
        base_json_whole(&j, "within_limits", (uint64_t)t->n_within);
        put_point_or_null(t, "best", t->best, &j);
        put_numbers(&j, "as_good_as_best", t->as_good, t->n_as_good);
        put_point_or_null(t, "best_by_two_errors", t->safest, &j);
    }
    put_difference(t, &j);
    put_aloft(t, &j);
    put_fan(t->sweep, fan, &j);
    base_json_open(&j, "effects", '[');
    for (int f = 0; f < t->sweep->head.n_factors; f++)
        put_effect(t, f, &j);
    base_json_close(&j, ']');
    report_model_error_json(&j);
    base_json_close(&j, '}');
}

/* Of what is told, and of the ratios of two points, for a choice between settings rests on these. */
static void print_model_error(const report_tradeoff *t, FILE *to)
{
    bool wanted[REPORT_ERROR_KINDS] = {[REPORT_ERROR_RATIO] = true};
    for (int i = 0; i < t->n_told; i++) {
        const int kind = report_error_of_column(t->of[i].output.name);
        if (kind >= 0)
            wanted[kind] = true;
    }
    report_model_error_print(to, wanted);
}

void report_tradeoff_print(const report_tradeoff *t, const report_fan_note *fan, FILE *to, bool json)
{
    if (json) {
        print_json(t, fan, to);
        return;
    }
    fprintf(to, "%s: %lld points, %d replicate%s, %s.\n", t->sweep->head.name, (long long)t->n_points,
            t->sweep->head.n_replicates, t->sweep->head.n_replicates == 1 ? "" : "s", t->sweep->head.design);
    for (int i = 0; i < t->n_told; i++)
        fprintf(to, "%s: %s.\n", t->of[i].output.name, t->of[i].output.long_name);
    fputc('\n', to);
    if (t->n_known < t->n_points)
        fprintf(to, "%lld points are left out: a case of theirs failed, or the output is not known.\n\n",
                (long long)(t->n_points - t->n_known));
    print_front(t, to);
    if (fan->text[0]) {
        report_wrapped(to, fan->text, 0, 100);
        fputc('\n', to);
    }
    print_aloft(t, to);
    print_best(t, to);
    print_difference(t, to);
    print_effects(t, to);
    print_indices(t, to);
    print_model_error(t, to);
    fputs("\n+/- is one standard error of the sampling of droplets; it does not tell how far the model is from the "
          "field.\n",
          to);
    report_wrapped(to, t->sweep->head.caution, 0, 100);
}
