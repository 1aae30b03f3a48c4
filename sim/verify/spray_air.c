/* sim/verify/spray_air.c - the air that a nozzle's droplets set moving, in still air: its most, beside jets of the same
 * momentum; how its flow grows, and by what, beside what was measured in sprays. */
#include <math.h>
#include <string.h>

#include "air/spray_air.h"
#include "base/elementary.h"
#include "base/moist_air.h"
#include "verify/checks.h"

#define HALF_ANGLE_RAD (40.0 * BASE_DEGREE)
#define AIR_KG_M3 1.20
#define LIQUID_KG_M3 1000.0

static air_spray_surroundings still(const void *where, const double place_m[3])
{
    (void)where;
    (void)place_m;
    return (air_spray_surroundings){{0.0, 0.0, 0.0}, 0.0};
}

/* A cone 100 m up that points across. @param thickness_rad half of its sheet's */
static air_spray cone(double mass_kg_s, double speed_m_s, double middle_rad, double thickness_rad, double diameter_m)
{
    air_spray s;
    memset(&s, 0, sizeof s);
    s.height_m = 100.0;
    s.middle_rad = middle_rad;
    s.half_thickness_rad = thickness_rad;
    for (int r = 0; r < AIR_SPRAY_RAYS; r++) {
        double sin_off, cos_off, sin_turn, cos_turn;
        base_sincos(middle_rad, &sin_off, &cos_off);
        base_sincos(2.0 * BASE_PI * (r + 0.5) / AIR_SPRAY_RAYS, &sin_turn, &cos_turn);
        s.direction[r][0] = cos_off;
        s.direction[r][1] = sin_off * sin_turn;
        s.direction[r][2] = sin_off * cos_turn;
    }
    s.mass_flow_kg_s = mass_kg_s;
    s.exit_speed_m_s = speed_m_s;
    s.droplet_density_kg_m3 = LIQUID_KG_M3;
    for (int c = 0; c < AIR_SPRAY_SIZES; c++)
        s.diameter_m[c] = diameter_m;
    s.air_density_kg_m3 = AIR_KG_M3;
    s.air_viscosity_Pa_s = base_air_viscosity_Pa_s(293.15);
    return s;
}

/* Speed and flow of the whole spray at a distance along its sheet. */
typedef struct {
    double axis_m_s, flow_m3_s;
} moved;
static moved at(const air_spray *s, double distance_m)
{
    static const moved none = {NAN, NAN};
    air_spray_point point[AIR_SPRAY_POINTS];
    const int n = air_spray_follow(s, 0, 1, still, NULL, point);
    for (int i = 1; i < n; i++)
        if (point[i].path_m >= distance_m) {
            const air_spray_point *a = &point[i - 1], *b = &point[i];
            const double f = (distance_m - a->path_m) / (b->path_m - a->path_m);
            return (moved){a->axis_m_s + f * (b->axis_m_s - a->axis_m_s),
                           AIR_SPRAY_RAYS * (a->flow_m3_s + f * (b->flow_m3_s - a->flow_m3_s))};
        }
    return none;
}

/* ---- all momentum in the air: droplets so small that they stop at once, and so fast that their mass, which goes on
 * with the air and weighs upon it, does not count ---- */

#define SMALL_M 5e-6
#define FASTER 100.0

static moved most(const verify_table *t, int row, bool narrow)
{
    const double speed_m_s = verify_table_number(t, row, "exit_speed_m_s");
    const double momentum_N = verify_table_number(t, row, "momentum_N") * (narrow ? base_cos(HALF_ANGLE_RAD) : 1.0);
    const air_spray s =
        cone(momentum_N / (FASTER * speed_m_s), FASTER * speed_m_s, narrow ? 0.0 : HALF_ANGLE_RAD, 0.0, SMALL_M);
    return at(&s, verify_table_number(t, row, "distance_m"));
}

static double sheet_speed(const verify_table *t, int row)
{
    return most(t, row, false).axis_m_s;
}

static double sheet_flow(const verify_table *t, int row)
{
    return most(t, row, false).flow_m3_s;
}

static double narrow_speed(const verify_table *t, int row)
{
    return most(t, row, true).axis_m_s;
}

static double narrow_flow(const verify_table *t, int row)
{
    return most(t, row, true).flow_m3_s;
}

static const verify_model models[] = {{"sheet_speed", sheet_speed},
                                      {"sheet_flow", sheet_flow},
                                      {"narrow_speed", narrow_speed},
                                      {"narrow_flow", narrow_flow}};

/* ---- droplets that slow down on their way ---- */

/* A hollow cone of size 01: 0.395 L/min at 3 bar. */
static air_spray usual(double pressure_bar, double half_angle_rad)
{
    const double flow_kg_s = LIQUID_KG_M3 * 0.395e-3 / 60.0 * sqrt(pressure_bar / 3.0);
    const double speed_m_s = sprayer_exit_speed_m_s(0.9, 1e5 * pressure_bar, LIQUID_KG_M3);
    return cone(flow_kg_s, speed_m_s, 0.85 * half_angle_rad, 0.15 * half_angle_rad, 125e-6);
}

static drupelet_status compare_measured(verify_list *list)
{
    verify_table *t;
    const drupelet_status status = verify_table_open("spray_air_measured", &t);
    if (status.code != DRUPELET_OK) return status;
    const air_spray s = usual(7.0, HALF_ANGLE_RAD), narrow = usual(7.0, 0.4 * HALF_ANGLE_RAD),
                    pressed = usual(15.0, HALF_ANGLE_RAD);
    for (int row = 0; row < verify_table_rows(t); row++) {
        const double value = verify_table_number(t, row, "value"), near_m = verify_table_number(t, row, "near_m"),
                     far_m = verify_table_number(t, row, "far_m");
        const char *what = verify_table_text(t, row, "what");
        if (strncmp(what, "exponent", strlen("exponent")) == 0)
            verify_compare(list, "spray_air.exponent", value,
                           base_log(at(&s, far_m).flow_m3_s / at(&s, near_m).flow_m3_s) / base_log(far_m / near_m),
                           "growth of the flow: %s", what);
        else if (strstr(what, "angle"))
            verify_compare(list, "spray_air.trend", value,
                           at(&s, 0.5).flow_m3_s > at(&narrow, 0.5).flow_m3_s ? 1.0 : -1.0, "%s", what);
        else
            verify_compare(list, "spray_air.trend", value,
                           at(&pressed, 0.5).flow_m3_s > at(&s, 0.5).flow_m3_s ? 1.0 : -1.0, "%s", what);
    }
    verify_table_free(t);
    return status;
}

drupelet_status verify_spray_air(verify_list *list)
{
    const drupelet_status status = verify_columns(list, "spray_air", models, sizeof models / sizeof models[0]);
    return status.code == DRUPELET_OK ? compare_measured(list) : status;
}
