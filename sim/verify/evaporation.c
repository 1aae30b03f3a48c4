/* sim/verify/evaporation.c - evaporation, temperature and life of droplets beside the drops that Ranz and Marshall
 * weighed, a converged answer for falling drops, and tables of handbooks. */
#include <math.h>

#include "base/moist_air.h"
#include "droplet/droplet.h"
#include "verify/checks.h"

#define MMHG_PA 133.322387 /* conventional millimetre of mercury */

/* Heat came down the tube that fed the drops: they were warmer than the balance says, from 0.5 K less to 2 K more. */
#define TUBE_WARMS_K 0.75

static base_air air_of(const verify_table *t, int row)
{
    return base_moist_air(verify_table_number(t, row, "air_temperature_C") + BASE_ZERO_CELSIUS_K,
                          0.01 * verify_table_number(t, row, "relative_humidity_percent"), 101325.0);
}

/* ---- drops that hang in dry air ---- */

static droplet_drying hanging(const verify_table *t, int row)
{
    const base_air air = base_moist_air(verify_table_number(t, row, "air_temperature_C") + BASE_ZERO_CELSIUS_K, 0.0,
                                        MMHG_PA * verify_table_number(t, row, "pressure_mmHg"));
    return droplet_evaporation(0.01 * verify_table_number(t, row, "drop_diameter_cm"),
                               verify_table_number(t, row, "reynolds_number"), &air);
}

static double loss_nL_s(const verify_table *t, int row)
{
    const droplet_drying drying = hanging(t, row);
    return 1e12 * drying.mass_rate_kg_s / base_water_density_kg_m3(drying.temperature_K);
}

static double warmed_drop_C(const verify_table *t, int row)
{
    return hanging(t, row).temperature_K - BASE_ZERO_CELSIUS_K + TUBE_WARMS_K;
}

static drupelet_status compare_means(verify_list *list)
{
    verify_table *t;
    const drupelet_status status = verify_table_open("ranz_marshall_1952", &t);
    if (status.code != DRUPELET_OK)
        return status;
    double sum = 0.0, warmer_K = 0.0;
    int n = 0;
    for (int row = 0; row < verify_table_rows(t); row++) {
        const double published = 10.0 * verify_table_number(t, row, "evaporation_rate_1e-5_ml_s");
        if (isnan(published))
            continue; /* the drop in still air: no rate was printed */
        sum += loss_nL_s(t, row) / published - 1.0;
        warmer_K += verify_table_number(t, row, "drop_temperature_C") - warmed_drop_C(t, row) + TUBE_WARMS_K;
        n++;
    }
    verify_compare(list, "evaporation.mean_error", 0.0, 100.0 * sum / n, "mean error of the %d drops", n);
    verify_compare(list, "evaporation.mean_warmth", TUBE_WARMS_K, warmer_K / n, "mean warmth by the feed tube");
    verify_table_free(t);
    return status;
}

/* ---- drops that fall, and drops at rest ---- */

static droplet_life falling(const verify_table *t, int row, scenario_ventilation law, double share_left)
{
    const base_air air = air_of(t, row);
    return droplet_free_fall_by(law, 1e-6 * verify_table_number(t, row, "initial_diameter_um"),
                                base_water_density_kg_m3(air.temperature_K), share_left, &air);
}

static double life_s(const verify_table *t, int row)
{
    return falling(t, row, SCENARIO_RANZ_MARSHALL, 0.0).lifetime_s;
}

static double fall_m(const verify_table *t, int row)
{
    return falling(t, row, SCENARIO_RANZ_MARSHALL, 0.0).fall_m;
}

/* A residue of 1/8 of the volume stops the droplet at half its diameter. */
static double life_to_half_s(const verify_table *t, int row)
{
    return falling(t, row, SCENARIO_RANZ_MARSHALL, 0.125).lifetime_s;
}

static double other_life_s(const verify_table *t, int row)
{
    return falling(t, row, SCENARIO_BEARD_PRUPPACHER, 0.0).lifetime_s;
}

static double other_fall_m(const verify_table *t, int row)
{
    return falling(t, row, SCENARIO_BEARD_PRUPPACHER, 0.0).fall_m;
}

static double still_drop_C(const verify_table *t, int row)
{
    const base_air air = air_of(t, row);
    return droplet_evaporation(1e-5, 0.0, &air).temperature_K - BASE_ZERO_CELSIUS_K;
}

static double still_drop_at_wet_bulb_C(const verify_table *t, int row)
{
    const base_air air = base_moist_air(verify_table_number(t, row, "dry_bulb_C") + BASE_ZERO_CELSIUS_K,
                                        0.01 * verify_table_number(t, row, "relative_humidity_percent"), 101325.0);
    return droplet_evaporation(30e-6, 0.0, &air).temperature_K - BASE_ZERO_CELSIUS_K;
}

static double life_of_residue_s(const verify_table *t, int row)
{
    const base_air air = base_moist_air(305.35, 0.36, 101325.0); /* 90 degF, 36 % */
    return droplet_free_fall(1e-6 * verify_table_number(t, row, "initial_diameter_um"),
                             base_water_density_kg_m3(air.temperature_K), 0.0375, &air).lifetime_s;
}

/* The second law of ventilation beside the drops it was drawn through. */
static double ventilation_coefficient(const verify_table *t, int row)
{
    return droplet_ventilation(SCENARIO_BEARD_PRUPPACHER, verify_table_number(t, row, "sqrt_re_times_cbrt_sc"));
}

/* Water half a kelvin too warm and half a kelvin too cold, over what the heat balance changes in a second. */
static double thermal_time_s(const verify_table *t, int row)
{
    const base_air air = air_of(t, row);
    const double d_m = 1e-6 * verify_table_number(t, row, "diameter_um");
    const double steady_K = droplet_evaporation(d_m, 0.0, &air).temperature_K;
    double rate_K_s[2];
    for (int warm = 0; warm < 2; warm++)
        rate_K_s[warm] = droplet_heat_balance(SCENARIO_RANZ_MARSHALL, steady_K + warm - 0.5, d_m, 998.2, 0.0, &air)
                             .temperature_rate_K_s;
    return 1.0 / (rate_K_s[0] - rate_K_s[1]);
}

#define DAY "{air_temperature_C} degC, {relative_humidity_percent} %"
#define DROP_AND_DAY "{initial_diameter_um} um, " DAY

static const verify_model models[] = {
    {"thermal_time_s", thermal_time_s},
    {"ventilation_coefficient", ventilation_coefficient},
    {"loss_nL_s", loss_nL_s},
    {"warmed_drop_C", warmed_drop_C},
    {"life_s", life_s},
    {"fall_m", fall_m},
    {"life_to_half_s", life_to_half_s},
    {"other_life_s", other_life_s},
    {"other_fall_m", other_fall_m},
    {"still_drop_C", still_drop_C},
    {"still_drop_at_wet_bulb_C", still_drop_at_wet_bulb_C},
    {"life_of_residue_s", life_of_residue_s},
};

drupelet_status verify_evaporation(verify_list *list)
{
    const drupelet_status status = verify_columns(list, "evaporation", models, sizeof models / sizeof models[0]);
    return status.code == DRUPELET_OK ? compare_means(list) : status;
}
