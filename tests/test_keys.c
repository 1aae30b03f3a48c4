/* tests/test_keys.c - the table of keys and the lists that its words come from. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "scenario/keys.h"
#include "scenario/scenario.h"
#include "sweep/plan_factors.h"
#include "tally/tally.h"

static drupelet_scenario *scenario_with(const char *setting)
{
    const char *const settings[] = {"run.target_error=5 %", setting};
    drupelet_scenario *scenario;
    const drupelet_status status =
        drupelet_scenario_read(DRUPELET_TEST_DATA "/scenario-small.yaml", settings, 2, &scenario);
    if (status.code != DRUPELET_OK)
        fail_msg("%s: %s", setting, status.message);
    return scenario;
}

static void every_word_stands_for_its_value(void **state)
{
    (void)state;
    int n_lists = 0;
    for (int k = 0; k < scenario_n_keys; k++) {
        const scenario_key *key = &scenario_keys[k];
        assert_true(key->path[0] && key->reason && key->meaning);
        if (key->holds != SCENARIO_IS_WORD)
            continue;
        n_lists++;
        const char *word;
        int value = 0, found = 0, n = 0;
        for (; (word = scenario_key_word(key, n, &value)) != NULL; n++) {
            assert_true(scenario_key_value(key, word, &found));
            if (found != value) /* also where a word stands twice */
                fail_msg("%s: '%s' stands for %d and for %d", key->path, word, value, found);
            assert_non_null(scenario_word_of(key->path, value));
        }
        assert_true(n >= 2);
        found = 77;
        assert_false(scenario_key_value(key, "no such word", &found));
        assert_int_equal(found, 77);
        if (key->otherwise && key->otherwise[0])
            assert_true(scenario_key_value(key, key->otherwise, &found));
    }
    assert_true(n_lists >= 25);
}

static drupelet_scenario *wall_with(const char *setting)
{
    const char *const settings[] = {"tips.other={kind: hollow_cone, size: 02}", setting};
    drupelet_scenario *scenario;
    const drupelet_status status = drupelet_scenario_read(DRUPELET_SCENARIOS "/apple-wall-full-leaf.yaml", settings,
                                                          setting ? 2 : 1, &scenario);
    if (status.code != DRUPELET_OK)
        fail_msg("%s: %s", setting ? setting : "", status.message);
    return scenario;
}

/* The reader writes as many bytes as a row's kind has: the field of each row must be of that kind. */
static void check_places(const scenario_table *table)
{
    for (int k = 0; k < table->n; k++) {
        const scenario_key *key = &table->key[k];
        int value = 0;
        if (key->bytes == 0)
            continue;
        const bool fits = key->holds == SCENARIO_IS_QUANTITY ? key->bytes == sizeof(double)
                          : key->holds == SCENARIO_IS_COUNT
                              ? key->bytes == sizeof(int64_t) || (key->bytes == sizeof(int) && key->high <= INT32_MAX)
                          : key->holds == SCENARIO_IS_WORD ? key->bytes == sizeof(int) || key->bytes == sizeof(bool)
                                                           : key->bytes == (size_t)key->high + 1;
        if (!fits || key->holds == SCENARIO_IS_LIST)
            fail_msg("%s goes into a field of %zu bytes", key->path, key->bytes);
        for (int i = 0; key->holds == SCENARIO_IS_WORD && scenario_key_word(key, i, &value); i++)
            if (key->bytes == sizeof(bool) && value != true && value != false)
                fail_msg("%s: %d is neither yes nor no", key->path, value);
    }
}

static void every_value_fits_its_field(void **state)
{
    (void)state;
    check_places(&scenario_all_keys);
    check_places(&sweep_plan_keys);
}

/* What the list of used values says of a key. */
static void value_used(const drupelet_scenario *s, const char *path, char value[64])
{
    const size_t n = strlen(path);
    const char *line = s->resolved;
    while (*line && !(strncmp(line, path, n) == 0 && line[n] == ':'))
        line += strcspn(line, "\n") + 1;
    if (!*line)
        fail_msg("%s is not used", path);
    snprintf(value, 64, "%.*s", (int)strcspn(line + n + 2, "(\n"), line + n + 2);
}

/* A page needs no more than the row: the key is one value of a scenario, and another value of the row's kind counts. */
static void what_a_page_may_offer_can_be_set(void **state)
{
    (void)state;
    int n_offered = 0;
    drupelet_scenario *base = wall_with(NULL);
    for (int k = 0; k < scenario_n_keys; k++) {
        const scenario_key *key = &scenario_keys[k];
        if (!key->offered)
            continue;
        n_offered++;
        char path[SCENARIO_TEXT + SCENARIO_KEY], setting[SCENARIO_TEXT + 2 * SCENARIO_KEY], before[64], after[64];
        const int head = (int)strcspn(key->path, "*");
        const bool many = key->path[head] == '*';
        snprintf(path, sizeof path, "%.*s%s%s", head, key->path,
                 !many ? "" : strncmp(key->path, "tips.", 5) == 0 ? base->tip[0].name : "0",
                 many ? key->path + head + 1 : "");
        value_used(base, path, before);
        if (key->holds == SCENARIO_IS_QUANTITY) {
            const double number = strtod(before, NULL);
            snprintf(setting, sizeof setting, "%s=%.6g %s", path, number > 0.0 ? 0.9 * number : 0.1 + number,
                     key->unit);
        } else if (key->holds == SCENARIO_IS_WORD) {
            const char *word = scenario_key_word(key, 0, NULL);
            const bool other = strncmp(before, word, strlen(word)) == 0;
            snprintf(setting, sizeof setting, "%s=%s", path, other ? scenario_key_word(key, 1, NULL) : word);
        } else {
            assert_int_equal(key->holds, SCENARIO_IS_TEXT); /* the name of a tip */
            snprintf(setting, sizeof setting, "%s=%s", path,
                     base->tip[base->sprayer.nozzle[0].i_tip == 0 ? 1 : 0].name);
        }
        drupelet_scenario *changed = wall_with(setting);
        value_used(changed, path, after);
        if (strcmp(before, after) == 0)
            fail_msg("%s: still %s", setting, before);
        drupelet_scenario_free(changed);
    }
    drupelet_scenario_free(base);
    assert_true(n_offered >= 12);
}

static void answers_are_read_as_they_say(void **state)
{
    (void)state;
    static const struct { const char *word; bool value; } answers[] = {
        {"yes", true}, {"no", false}, {"true", true}, {"false", false}};
    for (size_t i = 0; i < sizeof answers / sizeof answers[0]; i++) {
        char setting[64];
        snprintf(setting, sizeof setting, "run.spray_humidity=%s", answers[i].word);
        drupelet_scenario *s = scenario_with(setting);
        assert_int_equal(s->run.spray_humidity, answers[i].value);
        drupelet_scenario_free(s);
        snprintf(setting, sizeof setting, "sprayer.shut_outside=%s", answers[i].word);
        s = scenario_with(setting);
        assert_int_equal(s->sprayer.shut_outside, answers[i].value);
        drupelet_scenario_free(s);
    }
}

static void words_of_facing_are_directions(void **state)
{
    (void)state;
    static const struct { const char *word; double facing_rad; } facings[] = {
        {"up", 1.5707963267948966}, {"down", -1.5707963267948966}, {"towards_plus_x", 0.0},
        {"towards_minus_x", 3.141592653589793}};
    for (size_t i = 0; i < sizeof facings / sizeof facings[0]; i++) {
        char setting[128];
        snprintf(setting, sizeof setting, "collectors=[{name: a, kind: card, row: 1, height: 1 m, facing: %s}]",
                 facings[i].word);
        drupelet_scenario *s = scenario_with(setting);
        assert_memory_equal(&s->collector[0].facing_rad, &facings[i].facing_rad, sizeof facings[i].facing_rad);
        drupelet_scenario_free(s);
    }
}

static void drift_is_told_by_kind_and_distance(void **state)
{
    (void)state;
    static const struct { scenario_drift_kind kind; const char *name; int n; } kinds[] = {
        {SCENARIO_DRIFT_GROUND, "ground", SCENARIO_CURVE},
        {SCENARIO_DRIFT_AIRBORNE, "airborne", SCENARIO_PLANES},
        {SCENARIO_DRIFT_SUM, "drift_sum", SCENARIO_SUMS}};
    int next = 0;
    for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
        assert_int_equal(scenario_drift_first(kinds[k].kind), next);
        assert_int_equal(scenario_drift_count(kinds[k].kind), kinds[k].n);
        double before_m = 0.0;
        for (int i = 0; i < kinds[k].n; i++, next++) {
            const scenario_drift_number *number = &scenario_drift_numbers[next];
            char name[32], distance[32];
            snprintf(name, sizeof name, "%s_%g_m", kinds[k].name, number->distance_m);
            snprintf(distance, sizeof distance, " %g m ", number->distance_m);
            assert_int_equal(number->kind, kinds[k].kind);
            assert_string_equal(number->name, name);
            assert_non_null(strstr(number->meaning, distance));
            assert_true(number->distance_m > before_m);
            assert_int_equal(scenario_drift_named(name), next);
            before_m = number->distance_m;
        }
    }
    assert_int_equal(next, SCENARIO_DRIFT_NUMBERS);
    assert_int_equal(scenario_drift_named("ground_4_m"), -1);
}

static void a_run_can_aim_at_drift_evaporation_and_fates(void **state)
{
    (void)state;
    for (int i = 0; i < SCENARIO_TARGETS; i++) {
        char setting[64];
        assert_non_null(scenario_target_name(i));
        snprintf(setting, sizeof setting, "run.target=%s", scenario_target_name(i));
        drupelet_scenario *s = scenario_with(setting);
        assert_int_equal(s->run.target, i);
        drupelet_scenario_free(s);
    }
    assert_null(scenario_target_name(SCENARIO_TARGETS));
    assert_string_equal(scenario_target_name(SCENARIO_TARGET_DRIFT), "ground_1_m");
    assert_string_equal(scenario_target_name(SCENARIO_TARGET_EVAPORATED), "evaporated");
    assert_string_equal(tally_fate_name(TALLY_LEAF), "leaf");
    assert_string_equal(tally_fate_name(TALLY_GROUND_DOWNWIND), "ground_downwind");
    assert_string_equal(tally_fate_name(TALLY_ALOFT), "aloft");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_word_stands_for_its_value),
        cmocka_unit_test(every_value_fits_its_field),
        cmocka_unit_test(what_a_page_may_offer_can_be_set),
        cmocka_unit_test(answers_are_read_as_they_say),
        cmocka_unit_test(words_of_facing_are_directions),
        cmocka_unit_test(drift_is_told_by_kind_and_distance),
        cmocka_unit_test(a_run_can_aim_at_drift_evaporation_and_fates),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
