/* sim/verify/settling.c - drag and fall of droplets beside measured speeds, Stokes' law and the standard drag curve. */
#include "base/moist_air.h"
#include "base/status.h"
#include "droplet/droplet.h"
#include "verify/checks.h"
#include "verify/table.h"

#define SUBJECT "Drag and settling"
#define GUNN_KINZER "Gunn and Kinzer, J. Meteorol. 6 (1949) 243, Table 2; measured in still air at 20 degC"
#define DAVIES "Stokes' law with slip (Davies, Proc. Phys. Soc. 57 (1945) 259); computed"
#define BEARD "Beard, J. Atmos. Sci. 33 (1976) 851, Table 1; computed"
#define WANG_PRUPPACHER "Wang and Pruppacher, J. Appl. Meteorol. 16 (1977) 275, section 4 (as quoted); theory"
#define CLIFT_GRACE_WEBER \
    "Clift, Grace and Weber, Bubbles, Drops and Particles (1978), Table 5.2; accepted formulae differ by 5 %"

/* A rigid sphere's law to 1.6 mm; beyond, the law for drops that flatten. */
static const verify_target spray_drops = {SUBJECT, GUNN_KINZER, "m/s", VERIFY_RELATIVE, 0.05, false};
static const verify_target large_drops = {SUBJECT, GUNN_KINZER, "m/s", VERIFY_RELATIVE, 0.02, false};
/* The two smallest drops of the table ran 8 to 11 % faster than every drag law and than Beard's fit to other data. */
static const verify_target smallest_drops = {SUBJECT, GUNN_KINZER, "m/s", VERIFY_RELATIVE, 0.12, true};
static const verify_target stokes = {SUBJECT, DAVIES, "mm/s", VERIFY_RELATIVE, 0.01, false};
static const verify_target fine_drops = {SUBJECT, BEARD, "m/s", VERIFY_RELATIVE, 0.04, false};
/* Deformation as at terminal speed: too much drag on the way there for drops beyond 2 mm, which are no spray. */
static const verify_target start = {SUBJECT, WANG_PRUPPACHER, "m", VERIFY_RELATIVE, 0.10, false};
static const verify_target start_of_large = {SUBJECT, WANG_PRUPPACHER, "m", VERIFY_RELATIVE, 0.10, true};
static const verify_target drag_curve = {SUBJECT, CLIFT_GRACE_WEBER, "", VERIFY_RELATIVE, 0.07, false};

static double fall_m_s(double diameter_m, const base_air *air)
{
    return droplet_settling_speed_m_s(diameter_m, base_water_density_kg_m3(air->temperature_K),
                                      base_water_surface_tension_N_m(air->temperature_K), air);
}

static void compare_measured(verify_list *list, const verify_table *table)
{
    const base_air air = base_moist_air(293.15, 0.5, 101300.0);
    verify_worst spray = {.target = &spray_drops}, large = {.target = &large_drops},
                 smallest = {.target = &smallest_drops};
    for (int i = 0; i < verify_table_rows(table); i++) {
        const double d_mm = verify_table_number(table, i, "diameter_mm");
        const double published = verify_table_number(table, i, "terminal_velocity_m_s"),
                     ours = fall_m_s(1e-3 * d_mm, &air);
        verify_worst *range = d_mm < 0.15 ? &smallest : d_mm <= 1.6 ? &spray : &large;
        verify_worst_case(range, published, ours, "%g mm", d_mm);
        if (d_mm == 0.2 || d_mm == 0.3 || d_mm == 0.5)
            verify_compare(list, &spray_drops, published, ours, "speed of fall, %g mm", d_mm);
    }
    verify_worst_compare(list, &spray, "speed of fall, 0.2 to 1.6 mm");
    verify_worst_compare(list, &large, "speed of fall, 1.8 to 5.8 mm");
    verify_worst_compare(list, &smallest, "0.078 and 0.1 mm");
}

static void compare_small(verify_list *list, const verify_table *slow, const verify_table *fine)
{
    verify_worst worst = {.target = &stokes};
    const base_air dry = base_moist_air(293.15, 0.0, 101325.0);
    for (int i = 0; i < verify_table_rows(slow); i++) {
        const double d_um = verify_table_number(slow, i, "diameter_um");
        if (d_um <= 20.0)
            verify_worst_case(&worst, 1e3 * verify_table_number(slow, i, "stokes_velocity_with_davies_slip_m_s"),
                              1e3 * fall_m_s(1e-6 * d_um, &dry), "%g um", d_um);
    }
    verify_worst_compare(list, &worst, "speed of fall, 1 to 20 um");

    worst = (verify_worst){.target = &fine_drops};
    for (int i = 0; i < verify_table_rows(fine); i++) {
        const double d_um = verify_table_number(fine, i, "diameter_um");
        const double t_C = verify_table_number(fine, i, "air_temperature_C");
        const double pressure_Pa = 100.0 * verify_table_number(fine, i, "pressure_hPa");
        const base_air air = base_moist_air(t_C + BASE_ZERO_CELSIUS_K, 0.0, pressure_Pa);
        const double published = verify_table_number(fine, i, "terminal_velocity_m_s"),
                     ours = fall_m_s(1e-6 * d_um, &air);
        if (d_um <= 200.0)
            verify_worst_case(&worst, published, ours, "%g um, %g degC", d_um, t_C);
        if (d_um == 100.0 && t_C == 20.0 && pressure_Pa > 1e5)
            verify_compare(list, &fine_drops, published, ours, "speed of fall, 0.1 mm, 20 degC");
    }
    verify_worst_compare(list, &worst, "speed of fall, 1 to 200 um");
}

/* Way from rest to 99 % of the terminal speed. */
static double way_to_terminal_m(double diameter_m, const base_air *air)
{
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
        speed_m_s += dt * (pull_m_s2 - speed_m_s * per_tau * droplet_drag_factor(re_per_speed * speed_m_s));
        way_m += 0.5 * dt * (before + speed_m_s);
    }
    return way_m;
}

static void compare_start(verify_list *list, const verify_table *table)
{
    const base_air air = base_moist_air(293.15, 0.0, 1e5);
    for (int i = 0; i < verify_table_rows(table); i++) {
        const double d_um = verify_table_number(table, i, "diameter_um");
        if (d_um == 1000.0 || d_um == 2000.0 || d_um == 4000.0) /* the sizes that the source names */
            verify_compare(list, d_um > 2000.0 ? &start_of_large : &start,
                           verify_table_number(table, i, "fall_distance_to_99_percent_of_terminal_m"),
                           way_to_terminal_m(1e-6 * d_um, &air), "way to 99 %% of that speed, %g mm", 1e-3 * d_um);
    }
}

static void compare_drag(verify_list *list, const verify_table *table)
{
    verify_worst worst = {.target = &drag_curve};
    for (int i = 0; i < verify_table_rows(table); i++) {
        const double re = verify_table_number(table, i, "reynolds_number");
        const double published = verify_table_number(table, i, "cd_clift_grace_weber_1978");
        const double ours = 24.0 / re * droplet_drag_factor(re);
        verify_worst_case(&worst, published, ours, "Re %g", re);
        if (re == 1.0 || re == 30.0)
            verify_compare(list, &drag_curve, published, ours, "drag coefficient of a sphere, Re %g", re);
    }
    verify_worst_compare(list, &worst, "drag coefficient, Re 0.01 to 10000");
}

drupelet_status verify_settling(verify_list *list)
{
    verify_table *measured = NULL, *slow = NULL, *fine = NULL, *start_data = NULL, *drag = NULL;
    drupelet_status status = verify_table_open("gunn_kinzer_1949", &measured);
    if (status.code == DRUPELET_OK) status = verify_table_open("stokes_slip", &slow);
    if (status.code == DRUPELET_OK) status = verify_table_open("beard_1976", &fine);
    if (status.code == DRUPELET_OK) status = verify_table_open("wang_pruppacher_1977", &start_data);
    if (status.code == DRUPELET_OK) status = verify_table_open("sphere_drag", &drag);
    if (status.code == DRUPELET_OK) {
        compare_measured(list, measured);
        compare_small(list, slow, fine);
        compare_start(list, start_data);
        compare_drag(list, drag);
    }
    verify_table_free(drag);
    verify_table_free(start_data);
    verify_table_free(fine);
    verify_table_free(slow);
    verify_table_free(measured);
    return status;
}
