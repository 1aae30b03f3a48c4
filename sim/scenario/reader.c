/* sim/scenario/reader.c - values by their line of the table of keys: kind, range, default, and the message when it
 * does not fit. Numbers are read and written in the C locale (base/number.h). */
#define _POSIX_C_SOURCE 200809L
#include "scenario/reader.h"

#include <assert.h>
#include <errno.h>
#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/spelling.h"
#include "base/status.h"

enum { EXPECTED = 480, VALUE = 64, LINE = 1200 };

bool scenario_good(const scenario_reader *r)
{
    return r->status.code == DRUPELET_OK;
}

bool scenario_reads(const scenario_reader *r)
{
    return scenario_good(r) || r->only_missing;
}

bool scenario_given(const scenario_reader *r, const scenario_node *group, const char *name)
{
    if (!scenario_reads(r))
        return false;
    const scenario_node *node = scenario_node_find(group, name);
    return node && !scenario_node_empty(node);
}

static const scenario_key *key_of(const scenario_reader *r, const scenario_node *group, const char *name)
{
    char path[SCENARIO_PATH];
    scenario_node_path(group, name, true, path);
    const scenario_key *key = scenario_key_among(r->table, path);
    assert(key); /* every key that is read has its line */
    return key;
}

/* ---- messages ---- */

/* The first error stands. One that comes after missing keys ends the search for more of them. */
static void fail(scenario_reader *r, drupelet_status status)
{
    if (scenario_good(r) || (r->only_missing && status.code != DRUPELET_SCENARIO))
        r->status = status;
    r->only_missing = false;
}

static void miss(scenario_reader *r, const char *path, drupelet_status status)
{
    for (int i = 0; i < r->n_missing && i < SCENARIO_MISSING; i++)
        if (strcmp(r->missing[i], path) == 0)
            return;
    if (r->n_missing == 0) {
        r->status = status;
        r->only_missing = true;
    }
    if (r->n_missing < SCENARIO_MISSING)
        snprintf(r->missing[r->n_missing], sizeof r->missing[0], "%s", path);
    r->n_missing++;
}

static size_t group_of(const char *path)
{
    const char *dot = strrchr(path, '.');
    return dot ? (size_t)(dot - path) + 1 : 0;
}

/* "block.yaml:3:3: orchard.rows: found nothing, expected ...; missing, too: orchard.row_spacing, tree_spacing;
 * canopy.crown": a key in the group of the one before it goes without the group's name. */
drupelet_status scenario_verdict(const scenario_reader *r)
{
    drupelet_status status = r->status;
    const size_t room = sizeof status.message, rest = sizeof "; and 9999 more";
    if (r->n_missing < 2)
        return status;
    size_t used = strlen(status.message);
    int told = 1;
    for (; told < r->n_missing && told < SCENARIO_MISSING; told++) {
        const char *path = r->missing[told], *before = r->missing[told - 1];
        const size_t group = group_of(path);
        const bool same = told > 1 && group == group_of(before) && strncmp(path, before, group) == 0;
        char more[SCENARIO_PATH + 24];
        snprintf(more, sizeof more, "%s%s", told == 1 ? "; missing, too: " : same ? ", " : "; ",
                 path + (same ? group : 0));
        if (used + strlen(more) + rest > room)
            break;
        used += (size_t)snprintf(status.message + used, room - used, "%s", more);
    }
    if (told < r->n_missing && used + rest <= room)
        snprintf(status.message + used, room - used, "; and %d more", r->n_missing - told);
    return status;
}

/* @param below a key of the node that is missing, or NULL */
static void refuse(scenario_reader *r, const scenario_node *node, const char *below, const char *found,
                   const char *format, va_list arguments)
{
    char expected[EXPECTED];
    vsnprintf(expected, sizeof expected, format, arguments);
    fail(r, scenario_node_error(node, below, found, "%s", expected));
}

void scenario_refuse(scenario_reader *r, const scenario_node *group, const char *name, const char *format, ...)
{
    if (!scenario_good(r))
        return;
    const scenario_node *node = scenario_node_find(group, name);
    va_list arguments;
    va_start(arguments, format);
    refuse(r, node ? node : group, node ? NULL : name, node ? NULL : "the default", format, arguments);
    va_end(arguments);
}

void scenario_refuse_node(scenario_reader *r, const scenario_node *node, const char *found, const char *format, ...)
{
    if (!scenario_reads(r))
        return;
    va_list arguments;
    va_start(arguments, format);
    refuse(r, node, NULL, found, format, arguments);
    va_end(arguments);
}

void scenario_forbid(scenario_reader *r, const scenario_node *group, const char *name, const char *expected)
{
    if (!scenario_good(r))
        return;
    const scenario_node *node = scenario_node_find(group, name);
    if (node)
        fail(r, scenario_key_error(node, "this key", "%s", expected));
}

/* "wall, cone, globe or bowl". */
static void list_words(const scenario_key *key, char text[EXPECTED])
{
    const char *word;
    text[0] = '\0';
    for (int i = 0; (word = scenario_key_word(key, i, NULL)) != NULL; i++)
        base_add_word(text, EXPECTED, scenario_key_word(key, i + 1, NULL) ? ", " : " or ", word);
}

/* "a whole number from 0 to 7". */
static void expect_count(double low, double high, char text[EXPECTED])
{
    const uint64_t most = high < (double)UINT64_MAX ? (uint64_t)high : UINT64_MAX;
    snprintf(text, EXPECTED, "a whole number from %llu to %llu", (unsigned long long)low, (unsigned long long)most);
}

/* What a key wants, such as "a pressure from 0.5 bar to 60 bar". */
static void expect(const scenario_key *key, char text[EXPECTED])
{
    const char *blank = key->unit[0] ? " " : "";
    switch (key->holds) {
    case SCENARIO_IS_QUANTITY:
        snprintf(text, EXPECTED, "%s from %.12g%s%s to %.12g%s%s", scenario_kind_name(key->kind), key->low, blank,
                 key->unit, key->high, blank, key->unit);
        break;
    case SCENARIO_IS_COUNT:
        expect_count(key->low, key->high, text);
        break;
    case SCENARIO_IS_WORD:
        list_words(key, text);
        break;
    case SCENARIO_IS_TEXT:
        snprintf(text, EXPECTED, "a text on one line, shorter than %d bytes", (int)key->high + 1);
        break;
    case SCENARIO_IS_LIST:
        snprintf(text, EXPECTED, "a list of %s, %.15g to %.15g entries", key->unit, key->low, key->high);
        break;
    }
}

void scenario_miss(scenario_reader *r, const scenario_node *group, const char *name)
{
    if (!scenario_reads(r))
        return;
    char expected[EXPECTED], path[SCENARIO_PATH];
    expect(key_of(r, group, name), expected);
    scenario_node_path(group, name, false, path);
    const scenario_node *node = scenario_node_find(group, name);
    miss(r, path, scenario_node_error(node ? node : group, node ? NULL : name, NULL, "%s", expected));
}

void scenario_miss_all_of(scenario_reader *r, const scenario_node *group, const char *found, const char *format, ...)
{
    if (!scenario_reads(r))
        return;
    char expected[EXPECTED], path[SCENARIO_PATH];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(expected, sizeof expected, format, arguments);
    va_end(arguments);
    scenario_node_path(group, NULL, false, path);
    miss(r, path, scenario_node_error(group, NULL, found, "%s", expected));
}

/* ---- unknown keys ---- */

typedef struct { const scenario_table *table; const char *path; } key_group;

static const char *name_of_key(const void *group, int i, int *n)
{
    const key_group *g = group;
    return scenario_key_in(g->table, g->path, i, n);
}

/* Refuses a key that the table does not have, and names the one that was meant, or all. */
static void check_keys(scenario_reader *r, const scenario_node *group)
{
    char path[SCENARIO_PATH];
    scenario_node_path(group, NULL, true, path);
    for (const scenario_node *node = group->first; node && scenario_reads(r); node = node->next) {
        int n = 0;
        const char *known;
        for (int i = 0; (known = scenario_key_in(r->table, path, i, &n)) != NULL; i++)
            if (strncmp(known, "*", (size_t)n) == 0
                || ((int)strlen(node->key) == n && strncmp(known, node->key, (size_t)n) == 0))
                break;
        if (known)
            continue;
        char expected[EXPECTED] = "";
        const int near = base_meant(node->key, name_of_key, &(key_group){r->table, path});
        for (int i = near < 0 ? 0 : near; (known = scenario_key_in(r->table, path, i, &n)) != NULL; i++) {
            char name[SCENARIO_KEY];
            snprintf(name, sizeof name, "%.*s", n, known);
            base_add_word(expected, sizeof expected, ", ", name);
            if (near >= 0)
                break;
        }
        fail(r, scenario_key_error(node, "an unknown key", "%s%s", near < 0 ? "one of " : "", expected));
    }
}

/* ---- groups and lists ---- */

scenario_node *scenario_take_as_group(scenario_reader *r, scenario_node *node)
{
    if (!scenario_reads(r))
        return NULL;
    if (node->kind != SCENARIO_GROUP)
        scenario_refuse_node(r, node, NULL, "a group of keys");
    else
        check_keys(r, node);
    return scenario_reads(r) ? node : NULL;
}

scenario_node *scenario_take_group(scenario_reader *r, scenario_node *parent, const char *name)
{
    if (!scenario_reads(r))
        return NULL;
    scenario_node *group = scenario_node_group(parent, name);
    if (!group) {
        fail(r, base_error(DRUPELET_MEMORY, "no memory for the scenario"));
        return NULL;
    }
    return scenario_take_as_group(r, group);
}

scenario_node *scenario_take_list(scenario_reader *r, const scenario_node *group, const char *name)
{
    if (!scenario_reads(r))
        return NULL;
    scenario_node *node = scenario_node_find(group, name);
    if (!node || scenario_node_empty(node)) {
        scenario_miss(r, group, name);
        return NULL;
    }
    const scenario_key *key = key_of(r, group, name);
    char expected[EXPECTED], found[VALUE];
    expect(key, expected);
    snprintf(found, sizeof found, "a list of %d", node->n);
    if (node->kind != SCENARIO_LIST)
        scenario_refuse_node(r, node, NULL, "%s", expected);
    else if (node->n < key->low || node->n > key->high)
        scenario_refuse_node(r, node, found, "%s", expected);
    return scenario_reads(r) ? node : NULL;
}

/* ---- what was used ---- */

void scenario_note(scenario_reader *r, const scenario_node *group, const char *name, const char *mark,
                   const char *format, ...)
{
    if (!scenario_good(r) || !r->resolved)
        return;
    char path[SCENARIO_PATH], general[SCENARIO_PATH], value[LINE];
    scenario_node_path(group, name, false, path);
    scenario_node_path(group, name, true, general);
    const scenario_key *key = scenario_key_among(r->table, general);
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(value, sizeof value, format, arguments);
    va_end(arguments);
    fprintf(r->resolved, mark[0] ? "%s: %s (%s)\n" : "%s: %s\n", path, value, mark);
    if (key ? !key->not_of_air : scenario_of_air(path)) { /* where a value comes from does not matter */
        r->of_air = base_hash_on(r->of_air, path, strlen(path) + 1);
        r->of_air = base_hash_on(r->of_air, value, strlen(value) + 1);
    }
}

/* Text has 12 digits of a number; cases that share an air must not depend on which of them made it. */
static void note_bits(scenario_reader *r, const scenario_key *key, double value)
{
    if (!key->not_of_air)
        r->of_air = base_hash_on(r->of_air, &value, sizeof value);
}

/* "5 mm", as the key's row has it. */
static void print_quantity(const scenario_key *key, double value, char text[VALUE])
{
    snprintf(text, VALUE, "%.12g%s%s", scenario_units_from_si(key->kind, key->unit, value), key->unit[0] ? " " : "",
             key->unit);
}

static double note_quantity(scenario_reader *r, const scenario_node *group, const char *name, double value,
                            const char *mark)
{
    char text[VALUE];
    const scenario_key *key = key_of(r, group, name);
    print_quantity(key, value, text);
    note_bits(r, key, value);
    scenario_note(r, group, name, mark, "%s", text);
    return value;
}

/* ---- values ---- */

/* A value that must be one piece of text. */
static const char *text_of(scenario_reader *r, const scenario_node *node, const char *expected)
{
    if (node->kind != SCENARIO_VALUE || scenario_node_empty(node))
        scenario_refuse_node(r, node, NULL, "%s", expected);
    return scenario_reads(r) ? node->text : NULL;
}

/* What a share without its % may mean, such as ": 0.5 % or 50 %", as far as the key allows it; "" for another kind. */
static void readings_of_share(const scenario_key *key, const char *text, char readings[EXPECTED])
{
    double number = 0.0;
    readings[0] = '\0';
    if (key->kind != SCENARIO_SHARE || !base_number(text + strspn(text, " "), &number))
        return;
    const double percent[] = {number, 100.0 * number};
    for (int i = 0; i < 2; i++)
        if (percent[i] >= key->low && percent[i] <= key->high) {
            char reading[32];
            snprintf(reading, sizeof reading, "%s%.6g %%", readings[0] ? "" : ": ", percent[i]);
            base_add_word(readings, EXPECTED, " or ", reading);
        }
}

static void refuse_reading(scenario_reader *r, const scenario_node *node, const scenario_key *key,
                           scenario_reading reading, const char *expected)
{
    char found[SCENARIO_FOUND + 24], units[EXPECTED];
    switch (reading) {
    case SCENARIO_READ: return;
    case SCENARIO_NOT_A_NUMBER: scenario_refuse_node(r, node, NULL, "%s", expected); return;
    case SCENARIO_RANGE: scenario_refuse_node(r, node, NULL, "one value, not a range: %s", expected); return;
    case SCENARIO_DECIMAL_COMMA:
        scenario_refuse_node(r, node, NULL, "a decimal point, not a comma: %s", expected);
        return;
    case SCENARIO_SPACED_NUMBER: scenario_refuse_node(r, node, NULL, "a number without blanks: %s", expected); return;
    case SCENARIO_NO_UNIT:
        scenario_node_found(node, found);
        strcat(found, key->kind == SCENARIO_SHARE ? " without its %" : " without a unit");
        readings_of_share(key, node->text, units);
        scenario_refuse_node(r, node, found, "%s%s", expected, units);
        return;
    case SCENARIO_WRONG_UNIT: break;
    }
    const char *respelled = scenario_kind_respelled(key->kind, node->text);
    scenario_kind_units(key->kind, units, sizeof units);
    if (respelled)
        scenario_refuse_node(r, node, NULL, "%s (write %s)", expected, respelled);
    else if (units[0])
        scenario_refuse_node(r, node, NULL, "%s (in %s)", expected, units);
    else
        scenario_refuse_node(r, node, NULL, "%s, without a unit", expected);
}

double scenario_take_number(scenario_reader *r, const scenario_node *node, const scenario_key *key)
{
    if (!scenario_reads(r))
        return 0.0;
    char expected[EXPECTED];
    expect(key, expected);
    const char *text = text_of(r, node, expected);
    if (!text)
        return 0.0;
    double value = 0.0;
    const scenario_reading reading = scenario_units_read(key->kind, text, &value, NULL);
    if (reading != SCENARIO_READ) {
        refuse_reading(r, node, key, reading, expected);
        return 0.0;
    }
    /* the same value in another unit may miss the limit by a rounding */
    const double low = scenario_units_to_si(key->kind, key->unit, key->low),
                 high = scenario_units_to_si(key->kind, key->unit, key->high), slack = 1e-12 * (high - low);
    if (value < low - slack || value > high + slack) {
        scenario_refuse_node(r, node, NULL, "%s", expected);
        return 0.0;
    }
    return value < low ? low : value > high ? high : value;
}

double scenario_take_or(scenario_reader *r, const scenario_node *group, const char *name, double otherwise,
                        const char *mark)
{
    if (!scenario_reads(r))
        return 0.0;
    if (!scenario_given(r, group, name))
        return note_quantity(r, group, name, otherwise, mark);
    const double value = scenario_take_number(r, scenario_node_find(group, name), key_of(r, group, name));
    return note_quantity(r, group, name, value, "");
}

double scenario_take(scenario_reader *r, const scenario_node *group, const char *name)
{
    if (!scenario_reads(r))
        return 0.0;
    double otherwise = 0.0;
    if (!scenario_given(r, group, name)) {
        const scenario_key *key = key_of(r, group, name);
        if (!key->otherwise || !key->otherwise[0]) {
            scenario_miss(r, group, name);
            return 0.0;
        }
        const scenario_reading reading = scenario_units_read(key->kind, key->otherwise, &otherwise, NULL);
        (void)reading;
        assert(reading == SCENARIO_READ); /* the table's defaults can be read */
    }
    return scenario_take_or(r, group, name, otherwise, "default");
}

uint64_t scenario_take_count_at(scenario_reader *r, const scenario_node *node, double low, double high)
{
    if (!scenario_reads(r))
        return (uint64_t)low;
    char expected[EXPECTED];
    expect_count(low, high, expected);
    const char *text = text_of(r, node, expected);
    if (!text)
        return (uint64_t)low;
    errno = 0;
    const uint64_t exact = strtoull(text, NULL, 10); /* a double would round a long seed */
    const bool digits = text[strspn(text, "0123456789")] == '\0' && errno == 0;
    double number = (double)exact;
    bool unitless = true;
    const scenario_key count = {.unit = "", .kind = SCENARIO_RATIO};
    const scenario_reading reading =
        digits ? SCENARIO_READ : scenario_units_read(SCENARIO_RATIO, text, &number, &unitless);
    if (reading != SCENARIO_READ)
        refuse_reading(r, node, &count, reading, expected);
    else if (!unitless || number < low || number > high || (!digits && (high > 9e15 || number != floor(number))))
        scenario_refuse_node(r, node, NULL, "%s", expected);
    return !scenario_reads(r) ? (uint64_t)low : digits ? exact : (uint64_t)number;
}

uint64_t scenario_take_count_or(scenario_reader *r, const scenario_node *group, const char *name, uint64_t otherwise)
{
    if (!scenario_reads(r))
        return otherwise;
    const scenario_key *key = key_of(r, group, name);
    const bool given = scenario_given(r, group, name);
    if (given)
        otherwise = scenario_take_count_at(r, scenario_node_find(group, name), key->low, key->high);
    scenario_note(r, group, name, given ? "" : "default", "%llu", (unsigned long long)otherwise);
    return otherwise;
}

int scenario_take_word_at(scenario_reader *r, const scenario_node *node, const scenario_key *key, const char *why)
{
    int value = 0;
    char expected[EXPECTED];
    list_words(key, expected);
    const bool piece = node->kind == SCENARIO_VALUE && !scenario_node_empty(node);
    if (!piece || !scenario_key_value(key, node->text, &value))
        scenario_refuse_node(r, node, NULL, "%s%s%s", expected, why ? ": " : "", why ? why : "");
    return value;
}

int scenario_take_word(scenario_reader *r, const scenario_node *group, const char *name)
{
    if (!scenario_reads(r))
        return 0;
    int value = 0;
    const scenario_key *key = key_of(r, group, name);
    const scenario_node *node = scenario_given(r, group, name) ? scenario_node_find(group, name) : NULL;
    if (node)
        value = scenario_take_word_at(r, node, key, NULL);
    else if (key->otherwise)
        scenario_key_value(key, key->otherwise, &value);
    else
        scenario_miss(r, group, name);
    scenario_note(r, group, name, node ? "" : "default", "%s", node ? node->text : key->otherwise);
    return value;
}

void scenario_take_text(scenario_reader *r, const scenario_node *group, const char *name, char *text, size_t room)
{
    if (!scenario_reads(r))
        return;
    char expected[EXPECTED];
    const scenario_key *key = key_of(r, group, name);
    expect(key, expected);
    const bool given = scenario_given(r, group, name);
    if (!given && !key->otherwise) {
        scenario_miss(r, group, name);
        return;
    }
    const char *found = given ? text_of(r, scenario_node_find(group, name), expected) : text;
    if (!found)
        return;
    bool plain = strlen(found) < room;
    for (const char *c = found; *c; c++)
        plain = plain && (unsigned char)*c >= 0x20 && *c != 0x7F;
    if (!plain) {
        scenario_refuse(r, group, name, "%s", expected);
        return;
    }
    if (given)
        snprintf(text, room, "%s", found);
    scenario_note(r, group, name, given ? "" : "default", "%s", text[0] ? text : "none");
}

int scenario_take_pairs(scenario_reader *r, const scenario_node *group, const char *name, double a[], double b[])
{
    const scenario_node *list = scenario_take_list(r, group, name);
    if (!list)
        return 0;
    char path[SCENARIO_PATH], column[SCENARIO_PATH + 16], text[2][VALUE];
    scenario_node_path(list, NULL, true, path);
    const scenario_key *key[2];
    for (int k = 0; k < 2; k++) {
        snprintf(column, sizeof column, "%s.*.%d", path, k);
        key[k] = scenario_key_among(r->table, column);
    }
    const char *what = key_of(r, group, name)->unit; /* "[age, tension] pairs" */
    double *const value[] = {a, b};
    int n = 0;
    for (const scenario_node *row = list->first; row && scenario_good(r); row = row->next, n++) {
        if (row->kind != SCENARIO_LIST || row->n != 2) {
            scenario_refuse_node(r, row, NULL, "a pair %.*s", (int)strcspn(what, "]") + 1, what);
            break;
        }
        for (int k = 0; k < 2; k++) {
            value[k][n] = scenario_take_number(r, k == 0 ? row->first : row->last, key[k]);
            note_bits(r, key[k], value[k][n]);
            print_quantity(key[k], value[k][n], text[k]);
        }
        if (n > 0 && a[n] <= a[n - 1])
            scenario_refuse_node(r, row->first, NULL, "more than the %s before it", key[0]->meaning);
        scenario_note(r, row, NULL, "", "[%s, %s]", text[0], text[1]);
    }
    return n;
}
