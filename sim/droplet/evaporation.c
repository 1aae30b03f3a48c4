/* sim/droplet/evaporation.c - evaporation of a water droplet: heat in by conduction, vapour out by diffusion, both
 * quickened by the slip.
 *
 * The steady temperature of a droplet is where the two balance; it lies up to 0.8 K below the psychrometer's wet bulb.
 * A droplet that leaves warmer or colder gets there within a fraction of a second: its heat capacity times the rate of
 * change of its temperature is what the balance leaves over. Vapour is driven by the mole fraction at the film (mean)
 * temperature, with Stefan flow. Left out: curvature (matters below 1 um), vapour pressure lowered by what is
 * dissolved, radiation (about 1 % at 100 um), differences of temperature inside a droplet, what a film of residue or an
 * oil does to evaporation. */
#include <math.h>

#include "droplet/droplet.h"

#include "base/elementary.h"

#define SMALLEST_M 1e-6                 /* a droplet of this size counts as dry */
#define STEADY_WITHIN_K 1e-9            /* far below what any result shows */

typedef struct {
    double mass_rate_kg_s;
    double heat_W; /* that reaches the droplet, less what the vapour takes */
} exchange;

/* W. E. Ranz, W. R. Marshall, Chem. Eng. Prog. 48 (1952) 141, 173: 2 + 0.6 Re^(1/2) Sc^(1/3).
 * K. V. Beard, H. R. Pruppacher, J. Atmos. Sci. 28 (1971) 1455 and H. R. Pruppacher, R. Rasmussen, J. Atmos. Sci. 36
 * (1979) 1255: f = 1 + 0.108 X^2 below X = 1.4, 0.78 + 0.308 X above; a Sherwood or Nusselt number is 2 f. */
double droplet_ventilation(scenario_ventilation law, double x)
{
    if (law == SCENARIO_RANZ_MARSHALL)
        return 1.0 + 0.3 * x;
    return x < DROPLET_VENTILATION_SPLIT ? 1.0 + 0.108 * x * x : 0.78 + 0.308 * x;
}

static exchange exchange_at(double droplet_K, double diameter_m, double re, const base_air *air,
                            scenario_ventilation law)
{
    const double pi = BASE_PI, p = air->pressure_Pa, film_K = 0.5 * (air->temperature_K + droplet_K);
    const double surface_Pa = base_saturation_pressure_Pa(droplet_K);
    const double mu = base_air_viscosity_Pa_s(film_K), k = base_air_conductivity_W_m_K(film_K);
    const double diffusivity = base_vapour_diffusivity_m2_s(film_K, p);
    const double rho = base_air_density_kg_m3(film_K, p, 0.5 * (surface_Pa + air->vapour_pressure_Pa));
    const double sherwood = 2.0 * droplet_ventilation(law, sqrt(re) * base_cbrt(mu / (rho * diffusivity)));
    const double nusselt = 2.0 * droplet_ventilation(law, sqrt(re) * base_cbrt(BASE_AIR_HEAT_CAPACITY_J_KG_K * mu / k));
    const double molar_density = p / (BASE_GAS_CONSTANT_J_MOL_K * film_K);
    const double mass_rate = pi * diameter_m * sherwood * diffusivity * molar_density * BASE_MOLAR_MASS_WATER_KG_MOL
                             * base_log((p - air->vapour_pressure_Pa) / (p - surface_Pa));
    return (exchange){mass_rate, pi * diameter_m * nusselt * k * (air->temperature_K - droplet_K)
                                     - mass_rate * base_latent_heat_J_kg(droplet_K)};
}

static double area_rate_m2_s(double mass_rate_kg_s, double diameter_m, double droplet_K)
{
    return 4.0 * mass_rate_kg_s / (BASE_PI * diameter_m * base_water_density_kg_m3(droplet_K));
}

/* Temperature at which no heat is left over: it falls as the droplet warms. False position, the end that stays
 * counting half (M. Dowell, P. Jarratt, BIT 11 (1971) 168): some eight evaluations instead of bisection's fifty. */
static double steady_K(double diameter_m, double re, const base_air *air, scenario_ventilation law)
{
    double low_K = air->temperature_K - 60.0, high_K = air->temperature_K, droplet_K = high_K;
    double over_W = exchange_at(high_K, diameter_m, re, air, law).heat_W;
    if (over_W >= 0.0)
        return high_K; /* saturated air: nothing evaporates */
    double under_W = exchange_at(low_K, diameter_m, re, air, law).heat_W;
    for (int i = 0, side = 0; i < 100; i++) {
        const double before_K = droplet_K;
        droplet_K = (low_K * over_W - high_K * under_W) / (over_W - under_W);
        if (fabs(droplet_K - before_K) < STEADY_WITHIN_K)
            break;
        const double heat_W = exchange_at(droplet_K, diameter_m, re, air, law).heat_W;
        if (heat_W > 0.0) {
            low_K = droplet_K;
            under_W = heat_W;
            over_W *= side > 0 ? 0.5 : 1.0;
            side = 1;
        } else {
            high_K = droplet_K;
            over_W = heat_W;
            under_W *= side < 0 ? 0.5 : 1.0;
            side = -1;
        }
    }
    return droplet_K;
}

droplet_drying droplet_evaporation_by(scenario_ventilation law, double diameter_m, double re, const base_air *air)
{
    const double droplet_K = steady_K(diameter_m, re, air, law);
    const double mass_rate = exchange_at(droplet_K, diameter_m, re, air, law).mass_rate_kg_s;
    return (droplet_drying){droplet_K, mass_rate, area_rate_m2_s(mass_rate, diameter_m, droplet_K)};
}

droplet_drying droplet_evaporation(double diameter_m, double re, const base_air *air)
{
    return droplet_evaporation_by(SCENARIO_RANZ_MARSHALL, diameter_m, re, air);
}

droplet_warming droplet_heat_balance(scenario_ventilation law, double droplet_K, double diameter_m,
                                     double density_kg_m3, double re, const base_air *air)
{
    const exchange e = exchange_at(droplet_K, diameter_m, re, air, law);
    const double mass_kg = BASE_PI / 6.0 * density_kg_m3 * diameter_m * diameter_m * diameter_m;
    return (droplet_warming){e.heat_W / (mass_kg * DROPLET_HEAT_CAPACITY_J_KG_K), e.mass_rate_kg_s,
                             area_rate_m2_s(e.mass_rate_kg_s, diameter_m, droplet_K)};
}

droplet_falling droplet_falling_at(scenario_ventilation law, double diameter_m, double density_kg_m3,
                                   double surface_tension_N_m, const base_air *air)
{
    const double speed_m_s = droplet_settling_speed_m_s(diameter_m, density_kg_m3, surface_tension_N_m, air);
    const double re = air->density_kg_m3 * speed_m_s * diameter_m / air->viscosity_Pa_s;
    return (droplet_falling){speed_m_s, droplet_evaporation_by(law, diameter_m, re, air).area_rate_m2_s};
}

double droplet_dry_diameter_m(double diameter_m, double nonvolatile)
{
    return fmin(diameter_m, fmax(SMALLEST_M, diameter_m * base_cbrt(nonvolatile)));
}

droplet_life droplet_free_fall_by(scenario_ventilation law, double diameter_m, double density_kg_m3, double nonvolatile,
                                  const base_air *air)
{
    const double last_m = droplet_dry_diameter_m(diameter_m, nonvolatile);
    const double first2 = diameter_m * diameter_m, step2 = (first2 - last_m * last_m) / DROPLET_SHRINKING_STEPS;
    const double tension_N_m = base_water_surface_tension_N_m(air->temperature_K);
    droplet_life life = {0.0, 0.0};
    for (int i = 0; i < DROPLET_SHRINKING_STEPS && step2 > 0.0; i++) {
        const double d_m = sqrt(first2 - (i + 0.5) * step2);
        const droplet_falling fall = droplet_falling_at(law, d_m, density_kg_m3, tension_N_m, air);
        if (fall.area_rate_m2_s <= 0.0)
            return (droplet_life){INFINITY, INFINITY};
        life.lifetime_s += step2 / fall.area_rate_m2_s;
        life.fall_m += fall.speed_m_s * step2 / fall.area_rate_m2_s;
    }
    return life;
}

droplet_life droplet_free_fall(double diameter_m, double density_kg_m3, double nonvolatile, const base_air *air)
{
    return droplet_free_fall_by(SCENARIO_RANZ_MARSHALL, diameter_m, density_kg_m3, nonvolatile, air);
}
