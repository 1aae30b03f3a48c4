/* sim/verify/evaporation.c - evaporation, temperature and life of droplets beside the drops that Ranz and Marshall
 * weighed, a converged answer for falling drops, and tables of handbooks. */
#include <math.h>

#include "base/moist_air.h"
#include "base/status.h"
#include "droplet/droplet.h"
#include "verify/checks.h"
#include "verify/table.h"

#define SUBJECT "Evaporation"
#define MMHG_PA 133.322387 /* conventional millimetre of mercury */
#define RANZ_MARSHALL "Ranz and Marshall, Chem. Eng. Prog. 48 (1952) 173, Table 1; measured, fed drops in dry air"
#define FALLING "the whole chain of fall, ventilation and cooling, worked on its own from the same equations; computed"
#define RASMUSSEN \
    "Pruppacher and Rasmussen, J. Atmos. Sci. 36 (1979) 1255, Fig. 1, digitised; drops falling at terminal speed"
#define THERMAL \
    "closed form of a still drop's thermal time, in use since Kinzer and Gunn, J. Meteorol. 8 (1951) 71 (memory)"
#define EXTENSION "table of extension sheets on drift, 3.75 % residue, 32 degC, 36 % RH (memory, fairly sure)"
#define HANDBOOK \
    "Amsden (1962) and Matthews, Pesticide Application Methods (memory): d^2 / (80 dT), a rule without ventilation"

static const verify_target drop_rate = {SUBJECT, RANZ_MARSHALL, "nL/s", VERIFY_RELATIVE, 0.07, false};
static const verify_target mean_error = {SUBJECT, RANZ_MARSHALL, "%", VERIFY_ABSOLUTE, 3.0, false};
/* Heat came down the tube that fed the drops: they were warmer than the balance says. */
static const verify_target drop_temperature = {SUBJECT, RANZ_MARSHALL, "degC", VERIFY_ABSOLUTE, 2.0, true};
static const verify_target still_drop = {SUBJECT, FALLING, "degC", VERIFY_ABSOLUTE, 0.05, false};
static const verify_target life = {SUBJECT, FALLING, "s", VERIFY_RELATIVE, 0.02, false};
static const verify_target fall = {SUBJECT, FALLING, "m", VERIFY_RELATIVE, 0.02, false};
static const verify_target ventilation = {SUBJECT, RASMUSSEN, "1", VERIFY_RELATIVE, 0.05, false};
static const verify_target slow_ventilation = {SUBJECT, RASMUSSEN, "1", VERIFY_RELATIVE, 0.10, false};
/* The closed form leaves out Stefan flow: 1 to 2 %. */
static const verify_target thermal_time = {SUBJECT, THERMAL, "s", VERIFY_RELATIVE, 0.03, false};
static const verify_target residue = {SUBJECT, EXTENSION, "s", VERIFY_RELATIVE, 0.30, false};
static const verify_target handbook_life = {SUBJECT, HANDBOOK, "s", VERIFY_RELATIVE, 0.0, true};
static const verify_target handbook_fall = {SUBJECT, HANDBOOK, "m", VERIFY_RELATIVE, 0.0, true};

static void compare_measured(verify_list *list, const verify_table *table)
{
    verify_worst rate = {.target = &drop_rate}, temperature = {.target = &drop_temperature};
    double sum = 0.0;
    for (int i = 0; i < verify_table_rows(table); i++) {
        const double re = verify_table_number(table, i, "reynolds_number");
        const double d_m = 0.01 * verify_table_number(table, i, "drop_diameter_cm");
        const double t_C = verify_table_number(table, i, "air_temperature_C");
        const double measured_C = verify_table_number(table, i, "drop_temperature_C");
        const double published = 10.0 * verify_table_number(table, i, "evaporation_rate_1e-5_ml_s");
        const base_air air = base_moist_air(t_C + BASE_ZERO_CELSIUS_K, 0.0,
                                            MMHG_PA * verify_table_number(table, i, "pressure_mmHg"));
        if (isnan(published))
            continue; /* the drop in still air: no rate was printed */
        const droplet_drying drying = droplet_evaporation(d_m, re, &air);
        const double ours = 1e12 * drying.mass_rate_kg_s / base_water_density_kg_m3(drying.temperature_K);
        sum += ours / published - 1.0;
        verify_worst_case(&rate, published, ours, "Re %g", re);
        verify_worst_case(&temperature, measured_C, drying.temperature_K - BASE_ZERO_CELSIUS_K, "Re %g", re);
        if (i == 0)
            verify_compare(list, &drop_rate, published, ours, "loss of a 0.954 mm drop, Re %g", re);
    }
    verify_worst_compare(list, &rate, "loss");
    verify_compare(list, &mean_error, 0.0, 100.0 * sum / rate.n, "mean error of the %d drops", rate.n);
    verify_worst_compare(list, &temperature, "drop temperature (feed tube)");
}

static base_air air_of(const verify_table *table, int i)
{
    return base_moist_air(verify_table_number(table, i, "air_temperature_C") + BASE_ZERO_CELSIUS_K,
                          0.01 * verify_table_number(table, i, "relative_humidity_percent"), 101325.0);
}

static void compare_falling(verify_list *list, const verify_table *table)
{
    verify_worst worst_life = {.target = &life}, worst_fall = {.target = &fall}, coolest = {.target = &still_drop};
    verify_worst other_life = {.target = &life}, other_fall = {.target = &fall};
    for (int i = 0; i < verify_table_rows(table); i++) {
        const base_air air = air_of(table, i);
        const double t_C = air.temperature_K - BASE_ZERO_CELSIUS_K, humidity = 100.0 * air.relative_humidity;
        const double d_um = verify_table_number(table, i, "initial_diameter_um");
        const double life_s = verify_table_number(table, i, "lifetime_ranz_marshall_s");
        const double fall_m = verify_table_number(table, i, "fall_distance_ranz_marshall_m");
        const droplet_life ours =
            droplet_free_fall(1e-6 * d_um, base_water_density_kg_m3(air.temperature_K), 0.0, &air);
        verify_worst_case(&worst_life, life_s, ours.lifetime_s, "%g um, %.0f degC, %.0f %%", d_um, t_C, humidity);
        verify_worst_case(&worst_fall, fall_m, ours.fall_m, "%g um, %.0f degC, %.0f %%", d_um, t_C, humidity);
        verify_worst_case(&coolest, verify_table_number(table, i, "final_drop_temperature_C"),
                          droplet_evaporation(1e-5, 0.0, &air).temperature_K - BASE_ZERO_CELSIUS_K,
                          "%.0f degC, %.0f %%", t_C, humidity);
        const droplet_life other = droplet_free_fall_by(SCENARIO_BEARD_PRUPPACHER, 1e-6 * d_um,
                                                        base_water_density_kg_m3(air.temperature_K), 0.0, &air);
        verify_worst_case(&other_life, verify_table_number(table, i, "lifetime_beard_pruppacher_s"), other.lifetime_s,
                          "%g um, %.0f degC, %.0f %%", d_um, t_C, humidity);
        verify_worst_case(&other_fall, verify_table_number(table, i, "fall_distance_beard_pruppacher_m"), other.fall_m,
                          "%g um, %.0f degC, %.0f %%", d_um, t_C, humidity);
        if (d_um == 100.0 && i < 21) /* three of the five states */
            verify_compare(list, &life, life_s, ours.lifetime_s, "life of %g um, %.0f degC, %.0f %% RH", d_um, t_C,
                           humidity);
    }
    verify_worst_compare(list, &worst_life, "life");
    verify_worst_compare(list, &worst_fall, "fall");
    verify_worst_compare(list, &other_life, "life, Beard and Pruppacher");
    verify_worst_compare(list, &other_fall, "fall, Beard and Pruppacher");
    verify_worst_compare(list, &coolest, "still droplet");
}

/* The second law of ventilation beside the drops it was drawn through. */
static void compare_ventilation(verify_list *list, const verify_table *table)
{
    verify_worst fast = {.target = &ventilation}, slow = {.target = &slow_ventilation};
    for (int i = 0; i < verify_table_rows(table); i++) {
        const double x = verify_table_number(table, i, "sqrt_re_times_cbrt_sc");
        verify_worst_case(x > 3.0 ? &fast : &slow, verify_table_number(table, i, "ventilation_coefficient"),
                          droplet_ventilation(SCENARIO_BEARD_PRUPPACHER, x), "X %g", x);
    }
    verify_worst_compare(list, &fast, "ventilation, X above 3");
    verify_worst_compare(list, &slow, "ventilation, X below 3");
}

/* Water half a kelvin too warm and half a kelvin too cold, over what the heat balance changes in a second. */
static void compare_warming(verify_list *list, const verify_table *table)
{
    verify_worst worst = {.target = &thermal_time};
    for (int i = 0; i < verify_table_rows(table); i++) {
        const base_air air = air_of(table, i);
        const double d_um = verify_table_number(table, i, "diameter_um"), d_m = 1e-6 * d_um;
        const double t_C = air.temperature_K - BASE_ZERO_CELSIUS_K, humidity = 100.0 * air.relative_humidity;
        const double steady_K = droplet_evaporation(d_m, 0.0, &air).temperature_K;
        double rate_K_s[2];
        for (int warm = 0; warm < 2; warm++)
            rate_K_s[warm] = droplet_heat_balance(SCENARIO_RANZ_MARSHALL, steady_K + warm - 0.5, d_m, 998.2, 0.0, &air)
                                 .temperature_rate_K_s;
        const double ours_s = 1.0 / (rate_K_s[0] - rate_K_s[1]);
        const double published_s = verify_table_number(table, i, "thermal_time_s");
        verify_worst_case(&worst, published_s, ours_s, "%g um, %.0f degC, %.0f %%", d_um, t_C, humidity);
        if (d_um == 100.0 && t_C < 25.0 && humidity < 60.0)
            verify_compare(list, &thermal_time, published_s, ours_s, "thermal time, %g um, %.0f degC, %.0f %% RH", d_um,
                           t_C, humidity);
    }
    verify_worst_compare(list, &worst, "thermal time");
}

static void compare_handbooks(verify_list *list, const verify_table *sheet, const verify_table *handbook)
{
    const base_air air = base_moist_air(305.35, 0.36, 101325.0); /* 90 degF, 36 % */
    verify_worst worst = {.target = &residue};
    for (int i = 0; i < verify_table_rows(sheet); i++) {
        const double d_um = verify_table_number(sheet, i, "initial_diameter_um");
        verify_worst_case(
            &worst, verify_table_number(sheet, i, "time_to_evaporate_s"),
            droplet_free_fall(1e-6 * d_um, base_water_density_kg_m3(air.temperature_K), 0.0375, &air).lifetime_s,
            "%g um", d_um);
    }
    verify_worst_compare(list, &worst, "time to its residue");

    for (int i = 0; i < verify_table_rows(handbook); i++) {
        const base_air day = air_of(handbook, i);
        const double t_C = day.temperature_K - BASE_ZERO_CELSIUS_K, humidity = 100.0 * day.relative_humidity;
        const double d_um = verify_table_number(handbook, i, "initial_diameter_um");
        const droplet_life ours =
            droplet_free_fall(1e-6 * d_um, base_water_density_kg_m3(day.temperature_K), 0.0, &day);
        verify_compare(list, &handbook_life, verify_table_number(handbook, i, "lifetime_s"), ours.lifetime_s,
                       "life by rule, %g um, %.0f degC, %.0f %% RH", d_um, t_C, humidity);
        if (d_um == 100.0)
            verify_compare(list, &handbook_fall, verify_table_number(handbook, i, "fall_distance_m"), ours.fall_m,
                           "fall by rule, %g um, %.0f degC, %.0f %% RH", d_um, t_C, humidity);
    }
}

drupelet_status verify_evaporation(verify_list *list)
{
    verify_table *measured = NULL, *falling = NULL, *sheet = NULL, *handbook = NULL, *drops = NULL, *times = NULL;
    drupelet_status status = verify_table_open("ranz_marshall_1952", &measured);
    if (status.code == DRUPELET_OK) status = verify_table_open("falling_drop", &falling);
    if (status.code == DRUPELET_OK) status = verify_table_open("residue_life", &sheet);
    if (status.code == DRUPELET_OK) status = verify_table_open("handbook_life", &handbook);
    if (status.code == DRUPELET_OK) status = verify_table_open("ventilation", &drops);
    if (status.code == DRUPELET_OK) status = verify_table_open("thermal_time", &times);
    if (status.code == DRUPELET_OK) {
        compare_warming(list, times);
        compare_ventilation(list, drops);
        compare_measured(list, measured);
        compare_falling(list, falling);
        compare_handbooks(list, sheet, handbook);
    }
    verify_table_free(times);
    verify_table_free(drops);
    verify_table_free(handbook);
    verify_table_free(sheet);
    verify_table_free(falling);
    verify_table_free(measured);
    return status;
}
