/* sim/page/quantities.c - the quantities of a result that their table marks for the page, by group and name:
 *
 *     {"fates": {"size": {"points": [...]},
 *                "by_size": {"unit": "1", "axes": ["size", "fate"], "v": [...], "e": [...]}}}
 *
 * Points are those of an axis: words, numbers, or ordinals. Values ("v") and standard errors ("e", of shares alone) lie
 * in C order. sim/page/browser/data.js finds them by name. */
#include "page/parts.h"
#include "result/quantity.h"

/* Significant digits: sums are made of the values along one axis; those of several axes are many, and are shown. */
enum { DIGITS = 10, DIGITS_OF_MANY = 5, DIGITS_OF_ERRORS = 5 };

static bool is_shown(const result_quantity *q)
{
    return q->axes && q->use & RESULT_IN_PAGE;
}

/* An axis comes with what lies along it. */
static bool is_shown_axis(const result_group *group, const result_quantity *axis)
{
    for (int i = 0; !axis->axes && i < group->n; i++) {
        const result_quantity *q = &group->quantity[i], *of;
        for (int k = 0; is_shown(q) && (of = result_axis_of(group, q, k)) != NULL; k++)
            if (of == axis)
                return true;
    }
    return false;
}

static void values(base_json *j, const char *key, const drupelet_result *r, const result_group *group,
                   const result_quantity *q, int digits)
{
    const size_t n = result_size(r, group, q);
    base_json_open(j, key, '[');
    for (size_t i = 0; i < n; i++) {
        const void *at = result_value(r, group, q, i);
        if (q->type == RESULT_TEXT)
            base_json_words(j, NULL, at ? *(char *const *)at : q->word((int)i));
        else if (q->word)
            base_json_words(j, NULL, q->word((int)result_number(q, at, i)));
        else
            base_json_number(j, NULL, result_number(q, at, i), digits);
    }
    base_json_close(j, ']');
}

static void errors(base_json *j, const drupelet_result *r, const result_group *group, const result_quantity *q)
{
    const size_t n = result_size(r, group, q);
    base_json_open(j, "e", '[');
    for (size_t i = 0; i < n; i++)
        base_json_number(j, NULL, ((const tally_estimate *)result_value(r, group, q, i))->error, DIGITS_OF_ERRORS);
    base_json_close(j, ']');
}

static void quantity(base_json *j, const drupelet_result *r, const result_group *group, const result_quantity *q)
{
    int rank = 0;
    base_json_open(j, q->name, '{');
    if (q->unit)
        base_json_words(j, "unit", q->unit);
    base_json_open(j, "axes", '[');
    for (const result_quantity *axis; (axis = result_axis_of(group, q, rank)) != NULL; rank++)
        base_json_words(j, NULL, axis->name);
    base_json_close(j, ']');
    values(j, "v", r, group, q, rank > 1 ? DIGITS_OF_MANY : DIGITS);
    if (q->type == RESULT_SHARE)
        errors(j, r, group, q);
    base_json_close(j, '}');
}

void page_quantities(base_json *j, const drupelet_result *r)
{
    base_json_open(j, "quantities", '{');
    for (int g = 0; g < result_n_groups; g++) {
        const result_group *group = result_groups[g];
        base_json_open(j, group->name, '{');
        for (int i = 0; i < group->n; i++) {
            const result_quantity *q = &group->quantity[i];
            if (is_shown(q)) {
                quantity(j, r, group, q);
            } else if (is_shown_axis(group, q)) {
                base_json_open(j, q->name, '{');
                values(j, "points", r, group, q, DIGITS);
                base_json_close(j, '}');
            }
        }
        base_json_close(j, '}');
    }
    base_json_close(j, '}');
}
