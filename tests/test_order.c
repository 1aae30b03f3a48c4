/* tests/test_order.c - sorted numbers, quantiles, round numbers of axes. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/axis.h"
#include "base/order.h"
#include "check.h"

static void quantiles_lie_between_neighbours(void **state)
{
    (void)state;
    double value[] = {4.0, -1.0, 2.0, 2.0, 10.0};
    base_sort(value, 5); /* -1 2 2 4 10 */
    for (int i = 1; i < 5; i++)
        assert_true(value[i - 1] <= value[i]);
    assert_close(base_quantile(value, 5, 0.0), -1.0, 0.0, 0.0);
    assert_close(base_quantile(value, 5, 0.5), 2.0, 0.0, 0.0);
    assert_close(base_quantile(value, 5, 0.9), 7.6, 0.0, 1e-12); /* 4 + 0.6 (10 - 4) */
    assert_close(base_quantile(value, 5, 1.0), 10.0, 0.0, 0.0);
    assert_close(base_ranked(value, 5, 0.9), 4.0, 0.0, 0.0);
    assert_close(base_ranked(value, 5, 1.0), 10.0, 0.0, 0.0);
    assert_close(base_quantile(value, 1, 0.3), -1.0, 0.0, 0.0);
}

static void axes_have_round_numbers(void **state)
{
    (void)state;
    static const struct { double value, decade, scale, digit; } table[] = {
        {1.0, 1.0, 1.0, 1.0},         {0.0012, 1e-3, 2e-3, 2e-3}, {2.3, 1.0, 2.5, 3.0},
        {26.0, 10.0, 50.0, 30.0},     {99.0, 10.0, 100.0, 100.0}, {2.001, 1.0, 2.0, 3.0}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        assert_close(base_decade(table[i].value), table[i].decade, 1e-15, 0.0);
        assert_close(base_round_scale(table[i].value), table[i].scale, 1e-15, 0.0);
        assert_close(base_one_digit_up(table[i].value), table[i].digit, 1e-15, 0.0);
    }
    assert_close(base_round_step(7.0, 6.0), 1.0, 1e-15, 0.0);
    assert_close(base_round_step(100.0, 6.0), 20.0, 1e-15, 0.0);
    assert_close(base_round_step(0.03, 6.0), 0.005, 1e-15, 0.0);
    assert_close(base_round_step(50.0, 6.0), 10.0, 1e-15, 0.0); /* 8.3 is nearer to 10 than to 5 */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(quantiles_lie_between_neighbours),
        cmocka_unit_test(axes_have_round_numbers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
