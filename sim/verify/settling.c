/* sim/verify/settling.c - drag and fall of droplets beside measured speeds, Stokes' law and the standard drag curve. */
#include "base/moist_air.h"
#include "droplet/droplet.h"
#include "verify/checks.h"

static double fall_m_s(double diameter_m, const base_air *air)
{
    return droplet_settling_speed_m_s(diameter_m, base_water_density_kg_m3(air->temperature_K),
                                      base_water_surface_tension_N_m(air->temperature_K), air);
}

static double fall_in_still_air_m_s(const verify_table *t, int row)
{
    const base_air air = base_moist_air(293.15, 0.5, 101300.0);
    return fall_m_s(1e-3 * verify_table_number(t, row, "diameter_mm"), &air);
}

static double fall_in_dry_air_mm_s(const verify_table *t, int row)
{
    const base_air air = base_moist_air(293.15, 0.0, 101325.0);
    return 1e3 * fall_m_s(1e-6 * verify_table_number(t, row, "diameter_um"), &air);
}

static double slip_correction(const verify_table *t, int row)
{
    const base_air air = base_moist_air(293.15, 0.0, 101325.0);
    return droplet_slip_correction(1e-6 * verify_table_number(t, row, "diameter_um"), air.mean_free_path_m);
}

static double fall_in_air_m_s(const verify_table *t, int row)
{
    const base_air air = base_moist_air(verify_table_number(t, row, "air_temperature_C") + BASE_ZERO_CELSIUS_K, 0.0,
                                        100.0 * verify_table_number(t, row, "pressure_hPa"));
    return fall_m_s(1e-6 * verify_table_number(t, row, "diameter_um"), &air);
}

static double drag_coefficient(const verify_table *t, int row)
{
    const double re = verify_table_number(t, row, "reynolds_number");
    return 24.0 / re * base_sphere_drag_factor(re);
}

/* Way from rest to 99 % of the terminal speed. */
static double way_to_terminal_m(const verify_table *t, int row)
{
    const base_air dry = base_moist_air(293.15, 0.0, 1e5), *air = &dry;
    const double diameter_m = 1e-6 * verify_table_number(t, row, "diameter_um");
    const double density_kg_m3 = base_water_density_kg_m3(air->temperature_K);
    const double flat = droplet_deformation_factor(diameter_m, density_kg_m3,
                                                   base_water_surface_tension_N_m(air->temperature_K), air);
    const double per_tau = flat / droplet_stokes_time_s(diameter_m, density_kg_m3, air);
    const double pull_m_s2 = BASE_GRAVITY_M_S2 * (1.0 - air->density_kg_m3 / density_kg_m3);
    const double re_per_speed = air->density_kg_m3 * diameter_m / air->viscosity_Pa_s;
    const double last_m_s = 0.99 * fall_m_s(diameter_m, air), dt = 2e-4;
    double speed_m_s = 0.0, way_m = 0.0;
    while (speed_m_s < last_m_s) {
        const double before = speed_m_s;
        speed_m_s += dt * (pull_m_s2 - speed_m_s * per_tau * base_sphere_drag_factor(re_per_speed * speed_m_s));
        way_m += 0.5 * dt * (before + speed_m_s);
    }
    return way_m;
}

static const verify_model models[] = {
    {"fall_in_still_air_m_s", fall_in_still_air_m_s},
    {"slip_correction", slip_correction},
    {"fall_in_dry_air_mm_s", fall_in_dry_air_mm_s},
    {"fall_in_air_m_s", fall_in_air_m_s},
    {"way_to_terminal_m", way_to_terminal_m},
    {"drag_coefficient", drag_coefficient},
};

drupelet_status verify_settling(verify_list *list)
{
    return verify_columns(list, "settling", models, sizeof models / sizeof models[0]);
}
