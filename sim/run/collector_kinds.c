/* sim/run/collector_kinds.c - the kinds of virtual collectors: the slab in which each samples the air, and the speed
 * with which it sweeps droplets out of it. Where a kind needs a law of its own, it stands with its source in
 * droplet/collector.c.
 *
 * u is the air's velocity and s the droplet's slip against it. Upwards, the droplet's answer to the eddies is left out
 * of s: it has no mean, and what is left is the fall. */
#include <math.h>

#include "base/elementary.h"
#include "droplet/droplet.h"
#include "run/collect.h"

/* Thickness of the slabs; choices, well below what the air grid and the canopy resolve. */
#define LINE_SLAB_M 0.2
#define FACE_SLAB_M 0.05

/* A dish lies in air that it can see: above the grass where it stands above it, and above the roughness height. */
static void place_dish(const drupelet_scenario *scenario, run_collector *c)
{
    const double roughness_m = scenario->weather.roughness_m, grass_m = scenario->orchard.grass_height_m;
    const double ground_m = c->as->height_m >= grass_m ? fmax(grass_m, roughness_m) : roughness_m;
    c->on_ground = c->as->height_m <= 0.0;
    c->low_m = fmax(c->low_m, ground_m - c->as->height_m);
    c->high_m = c->low_m + FACE_SLAB_M;
}

/* The air over a dish flows along it, not through. */
static void dish_catches(const run_collectors *r, const run_collector *c, const run_passage *p, run_catch *catch)
{
    (void)r;
    (void)c;
    catch->caught = catch->passed = p->step_s * fmax(-p->slip[2], 0.0);
}

static void line_catches(const run_collectors *r, const run_collector *c, const run_passage *p, run_catch *catch)
{
    catch->net = r->downwind * p->move[0];
    catch->passed = base_hypot(p->move[0], p->move[1]);
    catch->caught = p->step_s
                    * droplet_line_catch_m_s(p->diameter_m, p->density_kg_m3, c->as->width_m, p->air, p->motion,
                                             &r->air);
}

static void card_catches(const run_collectors *r, const run_collector *c, const run_passage *p, run_catch *catch)
{
    catch->caught = catch->passed;
    if (!c->as->leaf_like)
        return;
    const double air_m_s = sqrt(p->air[0] * p->air[0] + p->air[1] * p->air[1] + p->air[2] * p->air[2]);
    const double stokes = droplet_stokes_time_s(p->diameter_m, p->density_kg_m3, &r->air) * air_m_s / c->as->width_m;
    const double e = droplet_impaction_efficiency(stokes);
    const double x_m_s = e * p->air[0] + p->slip[0], z_m_s = e * p->air[2] + p->slip[2];
    catch->caught = p->step_s * fmax(-x_m_s * c->normal[0] - z_m_s * c->normal[1], 0.0);
}

const run_collector_kind run_collector_kinds[SCENARIO_COLLECTOR_KINDS] = {
    [SCENARIO_DISH] = {.what = "a flat dish that lies open",
                       .law = "s downwards: fall and own momentum, so settling speed times concentration; the air "
                              "flows along a dish, not through. At height 0 it counts what lands on its strip",
                       .slab_m = FACE_SLAB_M, .place = place_dish, .catches = dish_catches},
    [SCENARIO_LINE] = {.what = "an upright line, smooth and round",
                       .law = "size of E u + s across it, E of a cylinder by Langmuir and Blodgett 1946 (closed form, "
                              "within 0.03); and diameter over line diameter times speed for droplets that touch it "
                              "with their edge",
                       .slab_m = LINE_SLAB_M, .lets_pass = true, .catches = line_catches},
    [SCENARIO_CARD] = {.what = "a card that faces anywhere",
                       .law = "`catch: leaf`: E u + s towards its front, E of a leaf as wide as the card by Petroff "
                              "and others 2008; `catch: all`: the droplet's own speed towards its front",
                       .slab_m = FACE_SLAB_M, .lets_pass = true, .catches = card_catches},
};
