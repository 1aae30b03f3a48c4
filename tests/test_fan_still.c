/* tests/test_fan_still.c - resolved air of the fan without wind, where jets have no steady flow: a run takes what goes
 * on wandering and says by how much. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "run/warn.h"
#include "run_case.h"

/* One alley in still air; cells as coarse as may be, which take seconds. */
static run_case still(const char *fan_air)
{
    const char *const set[] = {"orchard.rows=1", "sprayer.alleys=[0]", "weather.wind_speed=0 m/s",
                               "run.fan_air_cell=0.6 m", fan_air};
    return case_run_with("apple-wall-full-leaf.yaml", 1000, 1, set, 5);
}

static const run_warning *unsettled(const run_warnings *w)
{
    for (int i = 0; i < w->n; i++)
        if (strcmp(w->of[i].name, "fan_air_unsettled") == 0) return &w->of[i];
    return NULL;
}

static void jets_in_still_air_warn_that_they_wander(void **state)
{
    (void)state;
    run_case c = still("run.fan_air=resolved");
    run_warnings w = {0};
    run_warnings_of(c.outcome, &w);
    const run_warning *one = unsettled(&w);
    assert_non_null(one);
    assert_true(one->value > 0.0 && one->value < 30.0 && one->value == 100.0 * c.outcome->fan_unsure);
    assert_non_null(strstr(one->sentence, "run.fan_air: integral"));
    case_end(&c);
}

static void jets_by_integral_laws_have_nothing_to_settle(void **state)
{
    (void)state;
    run_case c = still("run.fan_air=integral");
    run_warnings w = {0};
    run_warnings_of(c.outcome, &w);
    assert_true(c.outcome->fan_unsure == 0.0);
    assert_null(unsettled(&w));
    case_end(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(jets_in_still_air_warn_that_they_wander),
        cmocka_unit_test(jets_by_integral_laws_have_nothing_to_settle),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
