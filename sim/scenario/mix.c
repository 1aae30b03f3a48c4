/* sim/scenario/mix.c - surface tension that falls as a surfactant reaches a new surface, and solids in suspension.
 *
 * Two ages count. On a leaf the droplet's surface is renewed as it spreads; it touches for 1 to 3 ms before it bounces
 * (S. Cooper et al., Pesticide Formulation and Application Systems (2001)): 2 ms. In the spray sheet, the drop size of
 * solutions follows that of water with the tension at about 20 ms (R. Sijs, D. Bonn, Pest Manag. Sci. (2020)); Cooper
 * et al. hold 1 to 5 ms to be right there as well.
 * A surfactant named without a curve gets one of the middle of its usual range (memory): wetter, a non-ionic one,
 * 35 to 60 mN/m at 20 ms and 28 to 35 at rest; spreader, an organosilicone, 25 to 50 and 20 to 22. A surface of 1 ms is
 * still that of water, one of 1 s at rest (choice).
 * Viscosity of a suspension: (1 - phi / phi_m)^(-2.5 phi_m), I. M. Krieger, T. J. Dougherty, Trans. Soc. Rheol. 3
 * (1959) 137, spheres packed at random phi_m 0.64 (memory); Einstein's 1 + 2.5 phi when thin. Left out: shear thinning,
 * polymers, emulsions, the weight of solids (give liquid.density). */
#include "scenario/mix.h"

#include <math.h>

#include "base/elementary.h"
#include "base/moist_air.h"
#include "scenario/sections.h"

#define LEAF_AGE_S 2e-3
#define SHEET_AGE_S 20e-3
#define PACKED 0.64

double scenario_tension_at(int n, const double age_s[], const double tension_N_m[], double at_age_s)
{
    int i = 0;
    while (i < n && age_s[i] < at_age_s)
        i++;
    if (i == 0 || i == n)
        return tension_N_m[i == 0 ? 0 : n - 1];
    const double part = base_log(at_age_s / age_s[i - 1]) / base_log(age_s[i] / age_s[i - 1]);
    return tension_N_m[i - 1] + part * (tension_N_m[i] - tension_N_m[i - 1]);
}

double scenario_suspension_factor(double solids)
{
    return base_pow(1.0 - solids / PACKED, -2.5 * PACKED);
}

/* Surface tension as given, by its curve, or of the surfactant. */
static void read_tension(scenario_reader *r, const scenario_node *group, double water_N_m, scenario_liquid *l)
{
    double age_s[SCENARIO_TENSIONS] = {1e-3, 20e-3, 1.0}, tension_N_m[SCENARIO_TENSIONS];
    static const double mid_N_m[3][2] = {
        [SCENARIO_WETTER] = {47.5e-3, 31.5e-3}, [SCENARIO_SPREADER] = {37.5e-3, 21e-3}};
    int n = 0;
    const char *mark = "default";
    if (scenario_given(r, group, "dynamic_surface_tension")) {
        scenario_forbid(r, group, "surface_tension", "either surface_tension or dynamic_surface_tension, not both");
        n = scenario_take_pairs(r, group, "dynamic_surface_tension", age_s, tension_N_m);
        mark = "of a surface of 2 ms";
    } else if (l->surfactant != SCENARIO_NO_SURFACTANT && !scenario_given(r, group, "surface_tension")) {
        tension_N_m[0] = water_N_m;
        tension_N_m[1] = mid_N_m[l->surfactant][0];
        tension_N_m[2] = mid_N_m[l->surfactant][1];
        n = 3;
        mark = "of the surfactant at 2 ms";
    }
    if (!scenario_good(r))
        return;
    const double at_leaf_N_m = n > 0 ? scenario_tension_at(n, age_s, tension_N_m, LEAF_AGE_S) : water_N_m;
    l->surface_tension_N_m = scenario_take_or(r, group, "surface_tension", at_leaf_N_m, mark);
    l->atomization_tension_N_m =
        n > 0 ? scenario_tension_at(n, age_s, tension_N_m, SHEET_AGE_S) : l->surface_tension_N_m;
}

void scenario_read_liquid(scenario_reader *r, scenario_node *root, drupelet_scenario *s)
{
    scenario_liquid *l = &s->liquid;
    const double air_K = s->weather.temperature_K;
    const scenario_node *group = scenario_take_group(r, root, "liquid");
    if (!scenario_good(r)) /* the temperature may not be known */
        return;
    scenario_take_keys(r, group, NULL, "nonvolatile", s);
    if (l->solids > 0.0 && !scenario_given(r, group, "nonvolatile"))
        l->nonvolatile = scenario_take_or(r, group, "nonvolatile", fmax(0.005, l->solids), "with the solids");
    else
        scenario_take_keys(r, group, "nonvolatile", "density", s);
    if (l->nonvolatile < l->solids)
        scenario_refuse(r, group, "nonvolatile", "at least liquid.solids, %.6g %%", 100.0 * l->solids);
    l->density_kg_m3 = base_water_density_kg_m3(air_K);
    l->viscosity_Pa_s = base_water_viscosity_Pa_s(air_K) * scenario_suspension_factor(l->solids);
    l->temperature_K = air_K;
    scenario_take_keys(r, group, "density", "surface_tension", s);
    read_tension(r, group, base_water_surface_tension_N_m(air_K), l);
    scenario_take_keys(r, group, "surface_tension", NULL, s);
}
