/* sim/report/settings_droplets.c - the droplets of a settings sheet: how they settle and dry, and how far the wind
 * carries them, as droplet/carry.h has it: let go at the top of the canopy, over open ground. */
#include "report/settings_droplets.h"

#include <math.h>

#include "base/elementary.h"
#include "droplet/carry.h"
#include "droplet/droplet.h"
#include "report/text.h"
#include "scenario/keys.h"
#include "sprayer/generic.h"
#include "sprayer/size_class.h"

#define FARTHEST_M 1000.0 /* beyond, no number is given: a lone droplet in steady wind is no model of it (choice) */

typedef struct {
    double diameter_m, settling_m_s, lifetime_s;
    droplet_carry carry;
    bool near; /* down within FARTHEST_M */
} droplet_line;

report_droplets report_droplets_of(const drupelet_scenario *scenario, const sprayer_work *work)
{
    report_droplets d = {
        .scenario = scenario,
        .work = work,
        .air = base_moist_air(scenario->weather.temperature_K, scenario->weather.relative_humidity,
                              scenario->weather.pressure_Pa),
        .wind = air_wind_of(scenario),
        .fall_from_m = scenario->canopy.height_m,
    };
    d.wind_m_s = air_wind_speed_m_s(&d.wind, 0.0, 2.0);
    droplet_humidity_estimate(scenario, work, &d.humidity);
    return d;
}

static droplet_line line_of(const report_droplets *d, const sprayer_spray *spray, double diameter_m)
{
    const scenario_liquid *liquid = &d->scenario->liquid;
    const scenario_ventilation ventilation = d->scenario->run.ventilation;
    const droplet_let_go droplet = {diameter_m, spray->droplet_density_kg_m3, liquid->surface_tension_N_m,
                                    liquid->nonvolatile, ventilation};
    droplet_line line = {.diameter_m = diameter_m};
    line.lifetime_s = droplet_free_fall_by(ventilation, diameter_m, spray->droplet_density_kg_m3, liquid->nonvolatile,
                                           &d->air)
                          .lifetime_s;
    line.settling_m_s =
        droplet_settling_speed_m_s(diameter_m, spray->droplet_density_kg_m3, liquid->surface_tension_N_m, &d->air);
    line.carry = droplet_carried(&droplet, d->fall_from_m, &d->air, &d->wind);
    line.near = line.carry.distance_m <= FARTHEST_M;
    return line;
}

/* How far a tip of the kind may well be from the assumption. */
static void print_standing(FILE *to, const report_droplets *d, const sprayer_spray *spray)
{
    const scenario_tip *tip = &d->scenario->tip[spray->i_tip];
    if (tip->form != SCENARIO_SPECTRUM_GENERIC) return;
    const sprayer_generic kind = sprayer_generic_tip(tip->kind);
    const double assumed_m = spray->dv50_m / tip->generic_factor;
    fprintf(to, "  a real %s tip may well give a Dv50 of %.0f to %.0f um here (docs/tips.md)\n",
            sprayer_kind_name(tip->kind), 1e6 * assumed_m * kind.dv50_lowest_m / kind.dv50_m,
            1e6 * assumed_m * kind.dv50_highest_m / kind.dv50_m);
}

static void print_size_class(FILE *to, const report_droplets *d, const sprayer_spray *spray)
{
    const double diameter_m[] = {spray->dv10_m, spray->dv50_m, spray->dv90_m};
    if (spray->size_class[0] == '\0') return;
    fprintf(to, "  size class %s (", spray->size_class);
    for (int i = 0; i < 3; i++) {
        char text[SPRAYER_CLASS_TEXT];
        sprayer_size_class_by(&d->scenario->tip[spray->i_tip], i, diameter_m[i], text);
        fprintf(to, "%s %s%s", i == 0 ? "Dv10" : i == 1 ? "Dv50" : "Dv90", text, i < 2 ? ", " : ")\n");
    }
}

/* A time as people say it: "8.2 s", "45 s", "4.1 min", "3.2 h". */
static void put_time(double time_s, char *text, size_t size)
{
    if (time_s < 99.5)
        snprintf(text, size, "%.*f s", time_s < 9.95, time_s);
    else if (time_s < 5970.0)
        snprintf(text, size, "%.*f min", time_s < 597.0, time_s / 60.0);
    else
        snprintf(text, size, "%.*f h", time_s < 35820.0, time_s / 3600.0);
}

static void print_line(FILE *to, const char *name, const droplet_line *l)
{
    char lasts[32] = "does not dry", falls[32], carried[48], dry[64] = "";
    if (isfinite(l->lifetime_s)) put_time(l->lifetime_s, lasts, sizeof lasts);
    put_time(l->carry.time_s, falls, sizeof falls);
    if (l->carry.distance_m <= 0.0)
        snprintf(carried, sizeof carried, "no wind");
    else if (l->near)
        snprintf(carried, sizeof carried, "%.1f m", l->carry.distance_m);
    else
        snprintf(carried, sizeof carried, "over %.0f m", FARTHEST_M);
    if (l->carry.dries && l->carry.distance_m <= 0.0)
        snprintf(dry, sizeof dry, "  dry %.2f m high", l->carry.dry_height_m);
    else if (l->carry.dries && l->carry.dry_distance_m <= FARTHEST_M)
        snprintf(dry, sizeof dry, "  dry after %.1f m, %.2f m high", l->carry.dry_distance_m, l->carry.dry_height_m);
    else if (l->carry.dries)
        snprintf(dry, sizeof dry, "  dry beyond that, %.2f m high", l->carry.dry_height_m);
    fprintf(to, "    %-5s %5.0f um %12.3f m/s %14s %16s %17s%s\n", name, 1e6 * l->diameter_m, l->settling_m_s, lasts,
            falls, carried, dry);
}

void report_droplets_print(FILE *to, const report_droplets *d)
{
    bool any_class = false;
    fprintf(to, "\nDroplets in this weather (%.0f degC, %.0f %% humidity, %.1f m/s at 2 m; let go %.1f m high)\n",
            d->scenario->weather.temperature_K - BASE_ZERO_CELSIUS_K, 100.0 * d->scenario->weather.relative_humidity,
            d->wind_m_s, d->fall_from_m);
    for (int i = 0; i < d->work->n_sprays; i++) {
        const sprayer_spray *spray = &d->work->spray[i];
        any_class = any_class || spray->size_class[0] != '\0';
        const struct {
            const char *name;
            double diameter_m;
        } sizes[] = {{"Dv10", spray->dv10_m}, {"Dv50", spray->dv50_m}, {"Dv90", spray->dv90_m}};
        fprintf(to, "  %s at %.1f bar: %.1f %% of the volume below 100 um, %.1f %% below 150 um\n  ",
                d->scenario->tip[spray->i_tip].name, 1e-5 * spray->pressure_Pa, 100.0 * spray->share_below_100_um,
                100.0 * spray->share_below_150_um);
        report_wrapped(to, spray->note, 2, 118);
        print_standing(to, d, spray);
        print_size_class(to, d, spray);
        fprintf(to, "    %-5s %8s %16s %14s %16s %17s\n", "", "diameter", "settling speed", "water lasts",
                "in the air for", "wind carries it");
        for (int k = 0; k < 3; k++) {
            const droplet_line l = line_of(d, spray, sizes[k].diameter_m);
            print_line(to, sizes[k].name, &l);
        }
    }
    fputs("  How far: let go at the top of the canopy, a droplet falls and shrinks in the mean wind over open ground, "
          "and then\n  its residue falls on to the ground. Left out: the fan's air, shelter, leaves, turbulence.\n",
          to);
    fprintf(to, "  In a run the wind over, in and behind the block is %s.\n",
            d->scenario->run.computed_wind ? "computed, row by row (run.wind)"
                                           : "assumed (run.wind: profiles; computed solves for it)");
    fputs(any_class
              ? "  Size classes by the borders that the scenario gives; ISO 25358 sets no micrometres, and other\n"
                "  instruments set other borders. The finest of Dv10, Dv50 and Dv90 counts.\n"
              : "  No size class is given: the classes of ISO 25358 have no fixed micrometres, but the limits that "
                "reference\n  tips set on one's own instrument.\n",
          to);
    const droplet_humidity *h = &d->humidity;
    fprintf(to,
            "  the spray's own vapour (estimate): up to %.2f g/m3, %+.1f %% humidity, %.1f K cooler after %.1f s;\n"
            "  %.0f %% less water evaporates for it: %s\n",
            1e3 * h->vapour_kg_m3, 100.0 * h->relative_humidity, h->cooling_K, h->most_at_s, 100.0 * h->slower,
            d->scenario->run.spray_humidity        ? "it is reckoned with"
            : h->slower < DROPLET_HUMIDITY_MATTERS ? "it may be left out"
                                                   : "run.spray_humidity: yes reckons with it");
}

enum { DIGITS = 6 }; /* in JSON */

void report_droplets_json_air(base_json *j, const report_droplets *d)
{
    base_json_number(j, "released_at_m", d->fall_from_m, DIGITS);
    base_json_number(j, "carry_known_to_m", FARTHEST_M, DIGITS);
    base_json_words(j, "wind_of_runs", scenario_word_of("run.wind", d->scenario->run.computed_wind));
    base_json_open(j, "spray_humidity", '{');
    base_json_number(j, "vapour_g_m3", 1e3 * d->humidity.vapour_kg_m3, DIGITS);
    base_json_number(j, "relative_humidity_percent", 100.0 * d->humidity.relative_humidity, DIGITS);
    base_json_number(j, "cooling_K", d->humidity.cooling_K, DIGITS);
    base_json_number(j, "age_s", d->humidity.most_at_s, DIGITS);
    base_json_number(j, "less_evaporated_percent", 100.0 * d->humidity.slower, DIGITS);
    base_json_close(j, '}');
}

static void json_droplet(base_json *j, const char *key, const droplet_line *l)
{
    base_json_open(j, key, '{');
    base_json_number(j, "diameter_um", 1e6 * l->diameter_m, DIGITS);
    base_json_number(j, "settling_speed_m_s", l->settling_m_s, DIGITS);
    base_json_number(j, "lifetime_s", l->lifetime_s, DIGITS);
    base_json_number(j, "carry_m", l->near ? l->carry.distance_m : NAN, DIGITS);
    base_json_number(j, "down_after_s", l->carry.time_s, DIGITS);
    base_json_number(j, "dry_after_m", l->carry.dries ? l->carry.dry_distance_m : NAN, DIGITS);
    base_json_number(j, "dry_height_m", l->carry.dries ? l->carry.dry_height_m : NAN, DIGITS);
    base_json_truth(j, "dries_up", l->carry.dries);
    base_json_close(j, '}');
}

static void json_spray(base_json *j, const report_droplets *d, const sprayer_spray *spray)
{
    static const char *const KEY[] = {"dv10", "dv50", "dv90"};
    const double size_m[] = {spray->dv10_m, spray->dv50_m, spray->dv90_m};
    base_json_open(j, NULL, '{');
    base_json_words(j, "tip", d->scenario->tip[spray->i_tip].name);
    base_json_number(j, "pressure_bar", 1e-5 * spray->pressure_Pa, DIGITS);
    base_json_number(j, "below_100_um_percent", 100.0 * spray->share_below_100_um, DIGITS);
    base_json_number(j, "below_150_um_percent", 100.0 * spray->share_below_150_um, DIGITS);
    base_json_truth(j, "assumed", spray->assumed);
    base_json_words(j, "note", spray->note);
    if (spray->size_class[0] != '\0')
        base_json_words(j, "size_class", spray->size_class);
    else
        base_json_null(j, "size_class");
    for (int k = 0; k < 3; k++) {
        const droplet_line line = line_of(d, spray, size_m[k]);
        json_droplet(j, KEY[k], &line);
    }
    base_json_close(j, '}');
}

void report_droplets_json(base_json *j, const report_droplets *d)
{
    base_json_open(j, "sprays", '[');
    for (int i = 0; i < d->work->n_sprays; i++)
        json_spray(j, d, &d->work->spray[i]);
    base_json_close(j, ']');
}
