/* sim/report/leaf_table.c - outcome at the leaf as a table: adhere, bounce or shatter against diameter and normal
 * speed, with the scenario's liquid, for droplets without air in them. The scatter from leaf to leaf (20 % of the
 * speed) is left out: near a border both outcomes occur. */
#include "report/leaf_table.h"

#include <math.h>

#include "base/elementary.h"
#include "droplet/outcome.h"
#include "droplet/droplet.h"
#include "scenario/leaf.h"

static const double diameter_um[] = {50, 75, 100, 150, 200, 250, 300, 400, 500, 600};
enum { N_DIAMETERS = sizeof diameter_um / sizeof diameter_um[0], N_SPEEDS = 10 }; /* 1 to 10 m/s */

#define ROTATING_DISC 57.7 /* C. Mundo, M. Sommerfeld, C. Tropea, Int. J. Multiphase Flow 21 (1995) 151 */

static const char *const side_name[] = {"lower", "upper"};

static void print_speed(FILE *to, double speed_m_s)
{
    if (isfinite(speed_m_s))
        fprintf(to, " %8.1f", speed_m_s);
    else
        fprintf(to, " %8s", "-");
}

static void print_speeds(FILE *to, const scenario_leaf_surface side[2], const droplet_liquid *liquid)
{
    const droplet_leaf_class disc = {.shatter_limit = ROTATING_DISC};
    fprintf(to, "Normal speed from which droplets bounce and shatter, m/s\n"
                "                upper side        lower side   wet leaf            published borders of splashing\n"
                "    um    bounce  shatter   bounce  shatter   splash  disc [1]  dry [2] smooth[3]  film [4]\n");
    for (int i = 0; i < N_DIAMETERS; i++) {
        const double d_m = 1e-6 * diameter_um[i], film_m_s = droplet_wet_wall_splash_m_s(d_m, liquid);
        fprintf(to, "  %4.0f ", diameter_um[i]);
        for (int s = 1; s >= 0; s--) {
            const double bounce_m_s = droplet_bounce_speed_m_s(d_m, &side[s], liquid);
            const double shatter_m_s = droplet_shatter_speed_m_s(d_m, &side[s], liquid);
            print_speed(to, bounce_m_s < shatter_m_s ? bounce_m_s : INFINITY);
            print_speed(to, shatter_m_s);
        }
        print_speed(to, film_m_s);
        print_speed(to, droplet_shatter_speed_m_s(d_m, &disc, liquid));
        print_speed(to, droplet_dry_wall_splash_m_s(d_m, liquid));
        print_speed(to, droplet_smooth_wall_splash_m_s(liquid));
        print_speed(to, droplet_thin_film_splash_m_s(d_m, liquid));
        fputc('\n', to);
    }
    fputs("A wet leaf splashes at the lower of its own limit and the wet wall's; from We 2 to 20 droplets rebound from "
          "it,\nunless canopy.wet_leaves is hold.\n"
          "[1] K = We^0.5 Re^0.25 > 57.7, rotating disc: Mundo, Sommerfeld and Tropea 1995\n"
          "[2] We > 2630 La^-0.183, dry rough wall; wet leaf: 1320: Bai, Rusche and Gosman 2002\n"
          "[3] sqrt(Ca) > 0.35, dry smooth wall: Vander Wal, Berger and Mozes 2006\n"
          "[4] We Oh^-0.4 > 2100, thin film: Cossali, Coghe and Marengo 1997 (memory)\n\n",
          to);
}

static void print_outcomes(FILE *to, const scenario_leaf_surface *side, const char *name, const droplet_liquid *liquid)
{
    const droplet_spread spread = droplet_spread_of(side, liquid);
    fprintf(to, "%s side: ", name);
    for (int o = 0; o < DROPLET_OUTCOMES; o++)
        fprintf(to, "%s%c %ss", o > 0 ? ", " : "", droplet_outcomes[o].letter, droplet_outcomes[o].verb);
    fputs("; spot: wetted diameter over droplet diameter at 2 m/s\n"
          "    um  m/s: 1  2  3  4  5  6  7  8  9 10   spot\n",
          to);
    for (int i = 0; i < N_DIAMETERS; i++) {
        const double d_m = 1e-6 * diameter_um[i];
        fprintf(to, "  %4.0f       ", diameter_um[i]);
        for (int v = 1; v <= N_SPEEDS; v++)
            fprintf(to, "%c  ", droplet_outcomes[droplet_leaf_outcome(d_m, v, side, liquid)].letter);
        fprintf(to, "%5.2f\n", droplet_spread_factor(&spread, d_m, 2.0, liquid->density_kg_m3));
    }
    fputc('\n', to);
}

void report_leaf_table(const drupelet_scenario *scenario, FILE *to)
{
    const scenario_liquid *l = &scenario->liquid;
    const scenario_leaf_surface *side = scenario->canopy.leaf_surface;
    const droplet_liquid liquid = {l->density_kg_m3, l->surface_tension_N_m, l->viscosity_Pa_s};
    fprintf(to, "At the leaves of %s\n", scenario->name);
    fprintf(to, "Liquid: %.1f kg/m3, %.1f mN/m, %.2f mPa s; %.0f %% of the leaves wet already\n", l->density_kg_m3,
            1e3 * l->surface_tension_N_m, 1e3 * l->viscosity_Pa_s, 100.0 * scenario->canopy.wet_share);
    for (int s = 1; s >= 0; s--)
        fprintf(to, "Leaf, %s side: contact angle %.0f deg, receding angle %.0f deg, shatter limit %.1f\n",
                side_name[s], BASE_DEGREES_A_RADIAN * side[s].contact_angle_rad,
                BASE_DEGREES_A_RADIAN * side[s].receding_angle_rad, side[s].shatter_limit);
    fputc('\n', to);
    print_speeds(to, side, &liquid);
    print_outcomes(to, &side[1], "Upper", &liquid);
    print_outcomes(to, &side[0], "Lower", &liquid);
}

void report_leaf_names(FILE *to)
{
    fprintf(to, "Contact angle of water, deg; the middle of the range is used\n"
                "  %-13s %9s %9s %9s %9s\n  %-13s %9s %9s %9s %9s  source\n", "", "young", "young", "old", "old",
            "canopy.leaf", "upper", "lower", "upper", "lower");
    for (int i = 0; i < SCENARIO_LEAF_PRESETS; i++) {
        const scenario_leaf_preset *p = &scenario_leaf_presets[i];
        fprintf(to, "  %-13s", p->name);
        for (int age = 0; age < 2; age++)
            for (int s = 1; s >= 0; s--)
                fprintf(to, "   %3.0f-%3.0f", p->angle[age][s].low_deg, p->angle[age][s].high_deg);
        fprintf(to, "  %s\n", p->source);
    }
}
