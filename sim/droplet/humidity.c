/* sim/droplet/humidity.c - how moist and cool the spray makes its own air: one body of air, well mixed at every age.
 *
 * The water that evaporates in a second, over the air that it mixes into in a second, raises the mixing ratio and takes
 * its heat from the air: the state moves along the line of adiabatic saturation, on which the wet bulb does not change
 * and drying is in proportion to what is left of the way (moister = rise / (ratio saturated at the wet bulb - ratio)).
 *
 * Air, first: what the sheets of fan air carry at the distance that they have come (a Gaussian sheet that keeps its
 * momentum; constants of air/jet.h), or what goes through the curtain of spray as it travels, whichever is more. From
 * the far side of the row on: that body of air, as high as the trees, growing with the turbulence at their top, 0.3 of
 * the wind there (choice inside 0.3 to 0.4 of canopy tops; memory). Water: size classes of each spray that dry at their
 * speed of fall; on leaving the row they have lost what leaves as dense as those on their way catch, and they fall out
 * of a body as high as the trees. Left out: other passes, water on leaves (it evaporates later), that the middle of a
 * plume is moister than its edges.
 *
 * That air is heavier by the droplets in it, which pass their weight on to it as they fall, and by what evaporation
 * cools it; lighter by the vapour, and by the fan's power, which ends as heat. It lies on the ground, so it comes down
 * as a slab that flows out at its sides: w = -W z/H below its top H, u = W x/H out to its half-width L, whose energy
 * rho H W^2 (1 + (L/H)^2) / 6 the excess g' gives, rho g' H W / 2 a second (derived; no friction, no pressure in the
 * air beside it): dW/dt = 1.5 g' / (1 + (L/H)^2). W is shared with all the air that the body grows by. Left out:
 * leaves that hold the air back, what the outflow carries sideways. */
#include "droplet/humidity.h"

#include <math.h>

#include "air/jet.h"
#include "air/wind.h"
#include "base/elementary.h"
#include "base/moist_air.h"
#include "droplet/droplet.h"

enum { SIZES = 8, STEPS = 8 };
#define TURBULENCE 0.3                  /* over the wind at the top of the trees; choice */
#define SLOWEST_M_S 1.0                 /* at which spray crosses to the row where there is no fan air; choice */
#define VAPOUR_LIGHTER 0.61             /* kg of air that a kg of vapour lifts, 28.96/18.02 - 1 */
#define CRAWL_M_S 0.1                   /* least travel speed that is reckoned with */

typedef struct {
    double flow_m3_s, first_m, diameter_m, fall_m_s, caught, floor_m; /* floor: its residue */
} size_class;

typedef struct {
    double crossing_s, crossing_m3_s;   /* time to the far side of the row, and the air's flow there */
    double distance_m, curtain_m3_s;    /* that far side; flow through the curtain there */
    double fan_power_W;
    double fan_m3_s, momentum_m4_s2, length_m, radius_m; /* of all outlets; radius 0: no arc */
    double body_height_m, body_width_m, growth_m_s;
} plume;

/* Flow and mean speed of the fan's sheets at a distance from the outlets. */
static double sheet_flow_m3_s(const plume *p, double s_m, double *speed_m_s)
{
    const double widened = p->length_m * (p->radius_m > 0.0 ? (p->radius_m + s_m) / p->radius_m : 1.0);
    const double section_m2 = AIR_JET_SPREAD * s_m * widened;
    const double axis_m_s = sqrt(p->momentum_m4_s2 / (AIR_JET_MOMENTUM * section_m2 + 1e-9));
    *speed_m_s = fmin(axis_m_s * AIR_JET_MOMENTUM / AIR_JET_FLOW, p->momentum_m4_s2 / fmax(p->fan_m3_s, 1e-9));
    return fmax(p->fan_m3_s, AIR_JET_FLOW * section_m2 * axis_m_s);
}

static plume plume_of(const drupelet_scenario *scenario, const sprayer_work *work)
{
    const scenario_sprayer *sprayer = &scenario->sprayer;
    const double height_m = scenario->canopy.height_m;
    plume p = {.distance_m = 0.5 * (scenario->orchard.row_spacing_m + scenario->canopy.width_m)};
    double area_m2 = 0.0;
    for (int i = 0; i < sprayer->n_outlets; i++)
        area_m2 += sprayer_outlet_area_m2(&sprayer->outlet[i]);
    for (int i = 0; i < sprayer->n_outlets; i++) {
        const scenario_outlet *o = &sprayer->outlet[i];
        const double outlet_m2 = sprayer_outlet_area_m2(o), share = outlet_m2 / area_m2;
        const double slot_m = o->slot_m > 0.0 ? o->slot_m : sqrt(outlet_m2);
        p.momentum_m4_s2 += work->outlet_speed_m_s[i] * work->outlet_speed_m_s[i] * outlet_m2;
        p.length_m += outlet_m2 / slot_m;
        p.radius_m += share * (o->kind == SCENARIO_ARC ? o->radius_m : 0.0);
    }
    p.fan_m3_s = work->fan_flow_m3_s;
    p.fan_power_W = work->fan_power_W;
    p.curtain_m3_s = fmax(sprayer->travel_speed_m_s, CRAWL_M_S) * 2.0 * p.distance_m * height_m;
    const double step_m = 0.02;
    double speed_m_s = SLOWEST_M_S;
    for (double s_m = 0.5 * step_m; s_m < p.distance_m; s_m += step_m) {
        p.crossing_m3_s = sheet_flow_m3_s(&p, s_m, &speed_m_s);
        p.crossing_s += step_m / fmax(speed_m_s, SLOWEST_M_S);
    }
    p.crossing_m3_s = fmax(p.crossing_m3_s, p.curtain_m3_s);
    const air_wind wind = air_wind_of(scenario);
    p.growth_m_s = TURBULENCE * air_wind_speed_m_s(&wind, 1.0, height_m);
    p.body_height_m = height_m;
    p.body_width_m = p.crossing_m3_s / (fmax(sprayer->travel_speed_m_s, CRAWL_M_S) * height_m);
    return p;
}

static double spread_m(const plume *p, double age_s)
{
    return p->growth_m_s * fmax(age_s - p->crossing_s, 0.0);
}

static double body_height_m(const plume *p, double age_s)
{
    return p->body_height_m + spread_m(p, age_s);
}

static double body_half_width_m(const plume *p, double age_s)
{
    return 0.5 * p->body_width_m + spread_m(p, age_s);
}

/* Air that the spray of an age is mixed into, m3/s of a pass. */
static double air_at_m3_s(const plume *p, double age_s)
{
    if (age_s < p->crossing_s) {
        double speed_m_s;
        const double way = age_s / p->crossing_s;
        const double s_m = p->distance_m * base_pow(way, 2.0 / 3.0); /* the speed falls as 1 / sqrt(s) */
        return fmax(sheet_flow_m3_s(p, s_m, &speed_m_s), way * p->curtain_m3_s);
    }
    return p->crossing_m3_s * (body_height_m(p, age_s) / p->body_height_m)
           * (2.0 * body_half_width_m(p, age_s) / p->body_width_m);
}

static int make_classes(const drupelet_scenario *scenario, const sprayer_work *work, const base_air *air,
                        const plume *p, size_class classes[])
{
    const scenario_canopy *c = &scenario->canopy;
    const scenario_liquid *liquid = &scenario->liquid;
    const double pi = BASE_PI;
    const double cover = c->clumping * droplet_leaf_projection(c->leaf_angle_ratio, 0.5 * pi) * c->leaf_area_index
                         * scenario->orchard.row_spacing_m / (c->height_m - c->base_m);
    double speed_m_s;
    sheet_flow_m3_s(p, p->distance_m, &speed_m_s);
    int n = 0;
    for (int i = 0; i < work->n_sprays; i++) {
        double flow_m3_s = 0.0;
        for (int k = 0; k < work->n_nozzles; k++)
            flow_m3_s += work->nozzle[k].i_spray == i ? work->nozzle[k].flow_m3_s : 0.0;
        for (int q = 0; q < SIZES; q++) {
            const sprayer_spray *spray = &work->spray[i];
            const double d_m = sprayer_spectrum_quantile_m(&spray->spectrum, (q + 0.5) / SIZES);
            const double stokes = droplet_stokes_time_s(d_m, spray->droplet_density_kg_m3, air)
                                  * fmax(speed_m_s, SLOWEST_M_S) / c->leaf_width_m;
            classes[n++] = (size_class){.flow_m3_s = flow_m3_s / SIZES,
                                        .first_m = d_m,
                                        .diameter_m = d_m,
                                        .floor_m = d_m * base_cbrt(fmax(liquid->nonvolatile, 1e-6)),
                                        .caught = 1.0 - base_exp(-cover * droplet_impaction_efficiency(stokes))};
        }
    }
    return n;
}

static double cubed(double x)
{
    return x * x * x;
}

/* One life of the spray. @param back 1: its own vapour slows it, 0: it does not. @return water evaporated, m3/s */
static double live(const drupelet_scenario *scenario, const base_air *air, const plume *p, double deficit, double back,
                   int n, size_class classes[], droplet_humidity *h)
{
    const scenario_liquid *liquid = &scenario->liquid;
    const double still = droplet_evaporation_by(scenario->run.ventilation, 1e-4, 0.0, air).area_rate_m2_s;
    const double schmidt_root =
        base_cbrt(air->viscosity_Pa_s
                  / (air->density_kg_m3 * base_vapour_diffusivity_m2_s(air->temperature_K, air->pressure_Pa)));
    double lost_m3_s = 0.0, wetter = 0.0, pushed_m4_s2 = 0.0;
    const double per_heat = 1.0 / (BASE_AIR_HEAT_CAPACITY_J_KG_K * air->temperature_K);
    const double latent_J_kg = base_latent_heat_J_kg(air->temperature_K);
    for (int i = 0; i < n; i++)
        classes[i].diameter_m = classes[i].first_m;
    h->moister[0] = h->sink_m_s[0] = h->sink_rate_1_s[0] = 0.0;
    for (int a = 0; a < DROPLET_AGES - 1; a++) { /* the last entry is for an endless age */
        const double scale = (double)DROPLET_AGE_SCALE_S, from_s = scale * a / (DROPLET_AGES - a),
                     to_s = scale * (a + 1) / (DROPLET_AGES - a - 1), dt = (to_s - from_s) / STEPS;
        for (int i = 0; i < n; i++)
            classes[i].fall_m_s = droplet_settling_speed_m_s(classes[i].diameter_m, liquid->density_kg_m3,
                                                             liquid->surface_tension_N_m, air);
        for (int k = 0; k < STEPS; k++) {
            const double age_s = from_s + (k + 0.5) * dt;
            double liquid_m3_s = 0.0; /* in the air */
            for (int i = 0; i < n; i++) {
                size_class *c = &classes[i];
                const double re = air->density_kg_m3 * c->fall_m_s * c->diameter_m / air->viscosity_Pa_s;
                const double rate = still * droplet_ventilation(scenario->run.ventilation, schmidt_root * sqrt(re));
                const double left2 = c->diameter_m * c->diameter_m - rate * (1.0 - back * wetter) * dt;
                const double d_m = fmax(sqrt(fmax(left2, 0.0)), c->floor_m);
                const double aloft = (age_s < p->crossing_s ? 1.0 : 1.0 - c->caught)
                                     * fmax(0.0, 1.0 - age_s * c->fall_m_s / p->body_height_m);
                lost_m3_s += aloft * c->flow_m3_s * (cubed(c->diameter_m) - cubed(d_m)) / cubed(c->first_m);
                c->diameter_m = d_m;
                liquid_m3_s += aloft * c->flow_m3_s * cubed(d_m / c->first_m);
            }
            const double lost_kg_s = lost_m3_s * liquid->density_kg_m3;
            const double heavier_kg_s = liquid_m3_s * liquid->density_kg_m3
                                        + (lost_kg_s * latent_J_kg - p->fan_power_W) * per_heat
                                        - VAPOUR_LIGHTER * lost_kg_s;
            const double slender = body_half_width_m(p, age_s) / body_height_m(p, age_s);
            pushed_m4_s2 +=
                BASE_GRAVITY_M_S2 * heavier_kg_s / air->density_kg_m3 * 1.5 / (1.0 + slender * slender) * dt;
            wetter = lost_m3_s * liquid->density_kg_m3
                     / (air_at_m3_s(p, from_s + (k + 1) * dt) * air->density_kg_m3 * deficit);
            wetter = fmin(wetter, 1.0);
        }
        h->moister[a + 1] = wetter;
        h->sink_m_s[a + 1] = pushed_m4_s2 / air_at_m3_s(p, to_s);
        h->sink_rate_1_s[a + 1] = h->sink_m_s[a + 1] / body_height_m(p, to_s);
    }
    h->moister[DROPLET_AGES] = h->moister[DROPLET_AGES - 1];
    h->sink_m_s[DROPLET_AGES] = h->sink_rate_1_s[DROPLET_AGES] = 0.0; /* mixed into all the air there is */
    return lost_m3_s;
}

static double mixing_ratio(double vapour_Pa, double pressure_Pa)
{
    return 0.622 * vapour_Pa / (pressure_Pa - vapour_Pa);
}

void droplet_humidity_estimate(const drupelet_scenario *scenario, const sprayer_work *work, droplet_humidity *h)
{
    const scenario_weather *weather = &scenario->weather;
    const base_air air = base_moist_air(weather->temperature_K, weather->relative_humidity, weather->pressure_Pa);
    const double wet_K = base_wet_bulb_K(air.temperature_K, air.relative_humidity, air.pressure_Pa);
    const double ratio = mixing_ratio(air.vapour_pressure_Pa, air.pressure_Pa);
    const double deficit = mixing_ratio(base_saturation_pressure_Pa(wet_K), air.pressure_Pa) - ratio;
    *h = (droplet_humidity){0};
    if (!(deficit > 1e-6))
        return; /* saturated air: nothing evaporates */
    size_class classes[SCENARIO_NOZZLES * SIZES];
    const plume p = plume_of(scenario, work);
    const int n = make_classes(scenario, work, &air, &p, classes);
    const double alone = live(scenario, &air, &p, deficit, 0.0, n, classes, h);
    const double together = live(scenario, &air, &p, deficit, 1.0, n, classes, h);
    for (int a = 0; a < DROPLET_AGES; a++)
        if (h->moister[a] > h->most) {
            h->most = h->moister[a];
            h->most_at_s = (double)DROPLET_AGE_SCALE_S * a / (DROPLET_AGES - a);
        }
    const double rise = h->most * deficit;
    h->cooling_K = rise * base_latent_heat_J_kg(air.temperature_K) / BASE_AIR_HEAT_CAPACITY_J_KG_K;
    h->vapour_kg_m3 = rise * air.density_kg_m3;
    const double vapour_Pa = air.pressure_Pa * (ratio + rise) / (0.622 + ratio + rise);
    h->relative_humidity =
        vapour_Pa / base_saturation_pressure_Pa(air.temperature_K - h->cooling_K) - air.relative_humidity;
    h->slower = alone > 0.0 ? 1.0 - together / alone : 0.0;
}
