/* tests/test_elementary.c - the elementary functions: within their bounds of the C library's with 64 digits, the same
 * bits as ever, and the C standard's values where there is nothing to compute. */
#include <float.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "base/double_bits.h"
#include "base/elementary.h"
#include "check.h"

enum { N = 40000 };
#define GOLDEN UINT64_C(0x9e3779b97f4a7c15)
#define BY_RATIO true /* arguments spread over the exponents, else evenly */
#define EVENLY false

/* Place i of N that fill a range. Worked out exactly: the arguments, too, are the same bits everywhere. */
static double argument(int i, double low, double high, bool by_ratio)
{
    const double share = (double)((uint64_t)i * GOLDEN >> 11) * 0x1p-53;
    if (!by_ratio)
        return low + (high - low) * share;
    const uint64_t first = base_bits_of_double(fabs(low)), last = base_bits_of_double(fabs(high));
    return copysign(base_double_of_bits(first + (uint64_t)(share * (double)(last - first))), low);
}

/* How far a value is from the right one, in units of the last of the 53 digits of a double of that size. */
static double ulps_off(double value, long double right)
{
    int twos;
    frexpl(right, &twos);
    const int last = twos < -1021 ? -1074 : twos - 53;
    return (double)(fabsl((long double)value - right) / ldexpl(1.0L, last));
}

static double sine_of_both(double x)
{
    double sine, cosine;
    base_sincos(x, &sine, &cosine);
    return sine;
}

static double cosine_of_both(double x)
{
    double sine, cosine;
    base_sincos(x, &sine, &cosine);
    return cosine;
}

/* bits: a digest of results over the range. gcc and clang for x86-64, gcc for 64-bit ARM and clang for WebAssembly gave
 * the same when it was written down. */
static const struct {
    const char *name;
    double (*ours)(double);
    long double (*right)(long double);
    double low, high;
    bool by_ratio;
    double bound;
    uint64_t bits;
} CASES[] = {
    {"exp", base_exp, expl, -700.0, 709.7, EVENLY, 0.52, 0x1be5f54cba2a73bb},
    {"exp", base_exp, expl, -1.0, 1.0, EVENLY, 0.52, 0x86b4863445f696fa},
    {"exp", base_exp, expl, -745.0, -700.0, EVENLY, 0.76, 0x8d2e30e003eee8c2},
    {"expm1", base_expm1, expm1l, -39.0, 62.0, EVENLY, 0.52, 0x3a3675a398301f5d},
    {"expm1", base_expm1, expm1l, 1e-17, 2.0, BY_RATIO, 0.52, 0xb837d95b79455b94},
    {"expm1", base_expm1, expm1l, -1e-17, -2.0, BY_RATIO, 0.52, 0xa076111932a0a012},
    {"tanh", base_tanh, tanhl, -3.0, 3.0, EVENLY, 2.5, 0x3cb5520da5d7f576},
    {"tanh", base_tanh, tanhl, 1e-12, 30.0, BY_RATIO, 2.5, 0x269c482df7b3fe9c},
    {"log", base_log, logl, 5e-324, 1.7e308, BY_RATIO, 0.52, 0x5beca1d5010f3ccb},
    {"log", base_log, logl, 0.5, 2.0, EVENLY, 0.52, 0xc627c1ceb1e3d5f2},
    {"log", base_log, logl, 0.99, 1.01, EVENLY, 0.52, 0x23a0c8446ae262ce},
    {"log1p", base_log1p, log1pl, -0.99, 3.0, EVENLY, 0.67, 0xb6c4c1d93cea3034},
    {"log1p", base_log1p, log1pl, 1e-17, 1e9, BY_RATIO, 0.67, 0xdb53ba3a14441e95},
    {"log1p", base_log1p, log1pl, -1e-17, -0.5, BY_RATIO, 0.67, 0xd60f0b41bc73494e},
    {"log10", base_log10, log10l, 5e-324, 1.7e308, BY_RATIO, 0.52, 0x1d27894afca4de99},
    {"log10", base_log10, log10l, 0.9, 1.1, EVENLY, 0.52, 0x1c09d8c2f669f2f4},
    {"cbrt", base_cbrt, cbrtl, 5e-324, 1.7e308, BY_RATIO, 0.67, 0x24f5937a823f9898},
    {"cbrt", base_cbrt, cbrtl, -9.0, 9.0, EVENLY, 0.67, 0xc9699e8da759cc3a},
    {"sin", base_sin, sinl, -7.0, 7.0, EVENLY, 1.1, 0x66a667c00bde84f5},
    {"sin", base_sin, sinl, 1e-12, 1e5, BY_RATIO, 1.1, 0x137a5a3bf0d4eea8},
    {"sin of both", sine_of_both, sinl, -1e5, 1e5, EVENLY, 1.1, 0xca1e8620dca6a1fd},
    {"cos", base_cos, cosl, -7.0, 7.0, EVENLY, 1.1, 0xb4ef6fb94f088471},
    {"cos", base_cos, cosl, 1e-12, 1e5, BY_RATIO, 1.1, 0x502796d7088a5bef},
    {"cos of both", cosine_of_both, cosl, -1e5, 1e5, EVENLY, 1.1, 0xc6a8bbf7b7f145f6},
    {"atan", base_atan, atanl, -2.0, 2.0, EVENLY, 1.6, 0xbe87d17361785897},
    {"atan", base_atan, atanl, 1e-12, 1e12, BY_RATIO, 1.6, 0x28de5bd8dd4ae1e5},
    {"erfc", base_erfc, erfcl, -7.0, 27.0, EVENLY, 8.0, 0x850c992af9c44e26},
    {"erfc", base_erfc, erfcl, 0.4, 4.0, EVENLY, 8.0, 0x99a6e46b30e6cdd4},
    {"gamma", base_gamma, tgammal, 1e-12, 10.0, BY_RATIO, 6.0, 0x56137430896180db},
    {"gamma", base_gamma, tgammal, 0.4, 10.0, EVENLY, 6.0, 0xeea5c304da6d9821},
};
enum { N_CASES = sizeof CASES / sizeof CASES[0] };

/* The C library's functions of long double have 64 digits or more here, 11 more than ours: their own errors are below a
 * thousandth of our last digit. */
static void functions_keep_their_bounds(void **state)
{
    (void)state;
    if (LDBL_MANT_DIG < 64)
        skip();
    for (int c = 0; c < N_CASES; c++)
        for (int i = 0; i < N; i++) {
            const double x = argument(i, CASES[c].low, CASES[c].high, CASES[c].by_ratio);
            const double off = ulps_off(CASES[c].ours(x), CASES[c].right((long double)x));
            if (!(off <= CASES[c].bound))
                fail_msg("%s(%.17g) is %.17g, %.3f units of the last digit off, may be %.2f", CASES[c].name, x,
                         CASES[c].ours(x), off, CASES[c].bound);
        }
}

static void powers_keep_their_bound(void **state)
{
    (void)state;
    if (LDBL_MANT_DIG < 64)
        skip();
    for (int i = 0; i < 3 * N; i++) {
        const double x = i % 3 == 0   ? argument(i, 1e-300, 1e300, BY_RATIO)
                         : i % 3 == 1 ? argument(i, 0.01, 100.0, BY_RATIO)
                                      : argument(i, 0.98, 1.02, EVENLY);
        const double most = i % 3 == 1 ? 6.0 : 700.0 / fabs(log(x)), y = argument(7 * i + 3, -most, most, EVENLY);
        /* powl() itself is off by up to a twentieth where its exponent is large */
        const double off = ulps_off(base_pow(x, y), powl((long double)x, (long double)y));
        if (!(off <= 0.57))
            fail_msg("pow(%.17g, %.17g) is %.17g, %.3f units of the last digit off", x, y, base_pow(x, y), off);
    }
}

static void hypotenuses_keep_their_bound(void **state)
{
    (void)state;
    if (LDBL_MANT_DIG < 64)
        skip();
    for (int i = 0; i < N; i++) {
        const double low = i % 2 ? 1e-3 : 5e-324, high = i % 2 ? 1e3 : 1.2e308;
        const double x = argument(i, low, high, BY_RATIO), y = argument(5 * i + 1, low, high, BY_RATIO);
        const double off = ulps_off(base_hypot(x, -y), hypotl((long double)x, (long double)y));
        if (!(off <= 1.2))
            fail_msg("hypot(%.17g, %.17g) is %.3f units of the last digit off", x, y, off);
    }
    assert_true(base_hypot(3.0, -4.0) == 5.0 && base_hypot(0.0, -0.0) == 0.0);
    assert_true(base_hypot(NAN, -INFINITY) == INFINITY && isnan(base_hypot(NAN, 1.0)));
}

/* Near 1 and 2 the logarithm of gamma is next to 0: there its error counts beside 1. */
static void logarithm_of_gamma_keeps_its_bound(void **state)
{
    (void)state;
    if (LDBL_MANT_DIG < 64)
        skip();
    for (int i = 0; i < N; i++) {
        const double x = argument(i, 1e-12, 1e6, BY_RATIO);
        const long double right = lgammal((long double)x);
        const double off = (double)fabsl((long double)base_log_gamma(x) - right), size = fabs((double)right);
        if (!(off <= 5e-16 * fmax(1.0, size)))
            fail_msg("ln gamma(%.17g) is off by %.3g", x, off);
        if (x > 10.0 && x < 171.0)
            assert_close(base_gamma(x), (double)tgammal((long double)x), 3e-13, 0.0);
    }
}

/* The double nearest to a multiple of pi is not one, and its sine is what is missing. */
static void sines_near_zero_keep_their_digits(void **state)
{
    (void)state;
    if (LDBL_MANT_DIG < 64)
        skip();
    for (int k = 1; k <= 30000; k += 7) {
        const double x = k * BASE_PI, y = (k + 0.5) * BASE_PI;
        assert_true(ulps_off(base_sin(x), sinl((long double)x)) <= 0.6);
        assert_true(ulps_off(base_cos(y), cosl((long double)y)) <= 0.6);
    }
}

/* Where two pieces of a computation meet, a function that rises must not fall by a last digit. */
static void rising_functions_rise(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        double (*of)(double);
        double at;
    } rising[] = {
        {"exp", base_exp, 0.0027076061740622863}, {"exp", base_exp, 0.99},          {"exp", base_exp, 700.0},
        {"exp", base_exp, -700.0},                {"expm1", base_expm1, 0.0027076061740622863},
        {"log", base_log, 1.0026041666666667},    {"log", base_log, 0.9973958333},  {"log", base_log, 1.41666666},
        {"log10", base_log10, 1.0026041666666667}, {"cbrt", base_cbrt, 1.0},        {"cbrt", base_cbrt, 2.0},
        {"sin", base_sin, 0.04908738521234052},   {"sin", base_sin, 0.147262155637}};
    for (size_t i = 0; i < sizeof rising / sizeof rising[0]; i++) {
        double x = rising[i].at;
        for (int n = 0; n < 500; n++)
            x = nextafter(x, -INFINITY);
        for (int n = 0; n < 1000; n++) {
            const double next = nextafter(x, INFINITY);
            if (rising[i].of(next) < rising[i].of(x))
                fail_msg("%s(%.17g) is above that of the next number", rising[i].name, x);
            x = next;
        }
    }
}

static uint64_t digest(uint64_t before, double value)
{
    return (before ^ base_bits_of_double(value)) * UINT64_C(0x100000001b3); /* as in G. Fowler, L. C. Noll, K.-P. Vo */
}

static void bits_are_the_same_as_ever(void **state)
{
    (void)state;
    int wrong = 0;
    for (int c = 0; c < N_CASES; c++) {
        uint64_t sum = 0;
        for (int i = 0; i < 2000; i++)
            sum = digest(sum, CASES[c].ours(argument(i, CASES[c].low, CASES[c].high, CASES[c].by_ratio)));
        if (sum != CASES[c].bits) {
            print_error("%s from %g to %g: 0x%016llx\n", CASES[c].name, CASES[c].low, CASES[c].high,
                        (unsigned long long)sum);
            wrong++;
        }
    }
    uint64_t powers = 0, sides = 0, gammas = 0;
    for (int i = 0; i < 2000; i++) {
        const double x = argument(i, 1e-3, 1e3, BY_RATIO), y = argument(7 * i + 3, -9.0, 9.0, EVENLY);
        powers = digest(powers, base_pow(x, y));
        sides = digest(sides, base_hypot(x, y));
        gammas = digest(gammas, base_log_gamma(x));
    }
    if (powers != 0xceabb5b2db677dca || sides != 0x6158095cf64289d5 || gammas != 0x0f93a964d2410853) {
        print_error("pow 0x%016llx hypot 0x%016llx log_gamma 0x%016llx\n", (unsigned long long)powers,
                    (unsigned long long)sides, (unsigned long long)gammas);
        wrong++;
    }
    assert_int_equal(wrong, 0);
}

static void same(double value, double expected)
{
    if (!(base_bits_of_double(value) == base_bits_of_double(expected) || (isnan(value) && isnan(expected))))
        fail_msg("found %.17g, expected %.17g", value, expected);
}

static void exact_values_are_exact(void **state)
{
    (void)state;
    same(base_exp(0.0), 1.0);
    same(base_exp(-0.0), 1.0);
    same(base_log(1.0), 0.0);
    same(base_sin(0.0), 0.0);
    same(base_cos(0.0), 1.0);
    double power = 1.0;
    for (int n = 0; n <= 22; n++, power *= 10.0) { /* up to here powers of ten are doubles */
        same(base_log10(power), n);
        same(base_pow(10.0, n), power);
    }
    for (int n = 1; n < 100000; n += 17) {
        const double x = n;
        same(base_cbrt(-x * x * x), -x);
        same(base_pow(x, 3.0), x * x * x);
        same(base_pow(x * x, 0.5), x);
        same(base_pow(x / 7.0, 1.0), x / 7.0);
    }
    for (int n = -1022; n <= 1023; n++)
        same(base_pow(2.0, n), base_power_of_2(n));
    same(base_pow(2.0, -1074.0), 0x1p-1074);
    same(base_gamma(5.0), 24.0);
}

/* C11 annex F.10. */
static void special_values_follow_the_standard(void **state)
{
    (void)state;
    static const struct {
        double (*of)(double);
        double x, value;
    } one[] = {
        {base_exp, INFINITY, INFINITY},    {base_exp, -INFINITY, 0.0},       {base_exp, NAN, NAN},
        {base_exp, 709.79, INFINITY},      {base_exp, -746.0, 0.0},          {base_exp, 1e-300, 1.0},
        {base_expm1, INFINITY, INFINITY},  {base_expm1, -INFINITY, -1.0},    {base_expm1, -0.0, -0.0},
        {base_expm1, NAN, NAN},            {base_expm1, 710.0, INFINITY},    {base_expm1, -1e-300, -1e-300},
        {base_tanh, INFINITY, 1.0},        {base_tanh, -INFINITY, -1.0},     {base_tanh, -0.0, -0.0},
        {base_tanh, NAN, NAN},             {base_log, 0.0, -INFINITY},       {base_log, -0.0, -INFINITY},
        {base_log, INFINITY, INFINITY},    {base_log, -1.0, NAN},            {base_log, -INFINITY, NAN},
        {base_log, NAN, NAN},              {base_log1p, -1.0, -INFINITY},    {base_log1p, -2.0, NAN},
        {base_log1p, INFINITY, INFINITY},  {base_log1p, -0.0, -0.0},         {base_log1p, NAN, NAN},
        {base_log10, 0.0, -INFINITY},      {base_log10, -1.0, NAN},          {base_log10, INFINITY, INFINITY},
        {base_log10, NAN, NAN},            {base_cbrt, -0.0, -0.0},          {base_cbrt, -INFINITY, -INFINITY},
        {base_cbrt, NAN, NAN},             {base_sin, -0.0, -0.0},           {base_sin, INFINITY, NAN},
        {base_sin, 1.1e5, NAN},            {base_sin, NAN, NAN},             {base_cos, INFINITY, NAN},
        {base_cos, -1.1e5, NAN},           {base_cos, NAN, NAN},             {base_atan, -0.0, -0.0},
        {base_atan, INFINITY, 0.5 * BASE_PI}, {base_atan, -INFINITY, -0.5 * BASE_PI}, {base_atan, NAN, NAN},
        {base_erfc, INFINITY, 0.0},        {base_erfc, -INFINITY, 2.0},      {base_erfc, 0.0, 1.0},
        {base_erfc, NAN, NAN},             {base_gamma, INFINITY, INFINITY}, {base_gamma, 172.0, INFINITY},
        {base_gamma, -0.5, NAN},           {base_gamma, NAN, NAN},           {base_log_gamma, INFINITY, INFINITY},
        {base_log_gamma, NAN, NAN}};
    for (size_t i = 0; i < sizeof one / sizeof one[0]; i++)
        same(one[i].of(one[i].x), one[i].value);
    static const struct {
        double x, y, value;
    } power[] = {{NAN, 0.0, 1.0},          {1.0, NAN, 1.0},           {NAN, 1.0, NAN},          {2.0, NAN, NAN},
                 {0.0, 3.0, 0.0},          {-0.0, 3.0, -0.0},         {-0.0, 2.0, 0.0},         {0.0, -1.5, INFINITY},
                 {-0.0, -3.0, -INFINITY},  {-0.0, -2.0, INFINITY},    {-1.0, INFINITY, 1.0},    {0.5, INFINITY, 0.0},
                 {0.5, -INFINITY, INFINITY}, {2.0, INFINITY, INFINITY}, {-2.0, -INFINITY, 0.0}, {INFINITY, -2.0, 0.0},
                 {INFINITY, 0.5, INFINITY}, {-INFINITY, 3.0, -INFINITY}, {-INFINITY, 2.0, INFINITY},
                 {-INFINITY, -3.0, -0.0},  {-2.0, 3.0, -8.0},         {-2.0, 2.0, 4.0},         {-2.0, 0.5, NAN},
                 {10.0, 309.0, INFINITY},  {10.0, -324.0, 0.0},       {0.1, 1e300, 0.0},        {0.1, -1e300, INFINITY},
                 {3.0, 1e-300, 1.0},       {-1.0, 1e300, 1.0},        {1.0, -1e300, 1.0}};
    for (size_t i = 0; i < sizeof power / sizeof power[0]; i++)
        same(base_pow(power[i].x, power[i].y), power[i].value);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(functions_keep_their_bounds),     cmocka_unit_test(powers_keep_their_bound),
        cmocka_unit_test(hypotenuses_keep_their_bound),    cmocka_unit_test(logarithm_of_gamma_keeps_its_bound),
        cmocka_unit_test(sines_near_zero_keep_their_digits), cmocka_unit_test(rising_functions_rise),
        cmocka_unit_test(bits_are_the_same_as_ever),       cmocka_unit_test(exact_values_are_exact),
        cmocka_unit_test(special_values_follow_the_standard)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
