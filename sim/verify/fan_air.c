/* sim/verify/fan_air.c - integral jets beside free-jet laws: straight and radial sheets, bending by travel, foliage. */
#include <math.h>
#include <stddef.h>

#include "air/jet.h"
#include "base/elementary.h"
#include "base/status.h"
#include "verify/checks.h"
#include "verify/table.h"

#define SUBJECT "Fan air"
#define RAJARATNAM "Rajaratnam, Turbulent Jets (1976), chapter 1: Uc/Uj = 2.47 (h/s)^(1/2); memory"
#define RADIAL "Momentum of a Gaussian radial sheet, S = 0.11, from an arc of 0.45 m; derived"
#define FOLIAGE "Thin jet in foliage: momentum falls as exp(-Cd a L), axis speed as its square root; derived"
#define BEND "Sheet bent by entrained air alone, (V/Uj)((2/3) c s^1.5 h^-0.5 - s), c = 0.578 for S = 0.11; derived"

static const verify_target straight = {SUBJECT,         RAJARATNAM, "m/s",
                                       VERIFY_RELATIVE, 0.05,       false}; /* spread of good experiments */
static const verify_target radial = {SUBJECT, RADIAL, "", VERIFY_RELATIVE, 0.02, false};
static const verify_target foliage = {SUBJECT, FOLIAGE, "", VERIFY_RELATIVE, 0.005, false};
/* as the growth of flow: published entrainment constants spread by 15 % */
static const verify_target bend = {SUBJECT, BEND, "m", VERIFY_RELATIVE, 0.15, false};

static air_jet_surroundings same_everywhere(const void *where, double x_m, double z_m)
{
    (void)x_m;
    (void)z_m;
    return *(const air_jet_surroundings *)where;
}

/* Point of a horizontal line from 100 m up, at a distance across; the last one if it does not get there. */
static air_jet_point point_at(double across_m, double radius_m, double slot_m, double v_m_s, double drag_1_m)
{
    const air_jet_surroundings around = {.v_m_s = v_m_s, .drag_1_m = drag_1_m};
    const air_jet_start start = {.x_m = radius_m,
                                 .z_m = 100.0,
                                 .direction = {1.0, 0.0, 0.0},
                                 .speed_m_s = 30.0,
                                 .slot_m = slot_m,
                                 .radius_m = radius_m};
    air_jet_point line[AIR_JET_POINTS];
    const int n = air_jet_follow(&start, same_everywhere, &around, 9.0, line);
    int i = 1;
    while (i + 1 < n && line[i].x_m < across_m)
        i++;
    const double f = (across_m - line[i - 1].x_m) / (line[i].x_m - line[i - 1].x_m);
    air_jet_point p = line[i];
    p.y_m = line[i - 1].y_m + f * (line[i].y_m - line[i - 1].y_m);
    for (int c = 0; c < 3; c++)
        p.excess[c] = line[i - 1].excess[c] + f * (line[i].excess[c] - line[i - 1].excess[c]);
    return p;
}

static double axis_m_s(const air_jet_point *p)
{
    return sqrt(p->excess[0] * p->excess[0] + p->excess[1] * p->excess[1] + p->excess[2] * p->excess[2]);
}

drupelet_status verify_fan_air(verify_list *list)
{
    verify_table *table = NULL;
    drupelet_status status = verify_table_open("radial_sheet_decay", &table);
    if (status.code != DRUPELET_OK)
        return status;
    static const double distance_m[] = {1.0, 2.0, 4.0};
    for (int i = 0; i < 3; i++) {
        const air_jet_point p = point_at(distance_m[i], 0.0, 0.05, 0.0, 0.0);
        verify_compare(list, &straight, 30.0 * 2.47 * sqrt(0.05 / distance_m[i]), axis_m_s(&p),
                       "axis of a straight sheet, 30 m/s from 50 mm, at %g m", distance_m[i]);
    }
    verify_worst worst = {.target = &radial};
    for (int i = 0; i < verify_table_rows(table); i++) {
        const double r0 = verify_table_number(table, i, "r0_m"), h = verify_table_number(table, i, "h_m");
        const double r = verify_table_number(table, i, "r_m");
        if (verify_table_number(table, i, "S") != AIR_JET_SPREAD)
            continue; /* the last rows are for another spread */
        const air_jet_point p = point_at(r, r0, h, 0.0, 0.0);
        verify_worst_case(&worst, verify_table_number(table, i, "Um_over_Uj_radial"), axis_m_s(&p) / 30.0,
                          "%g m from the axis, slot %g m", r, h);
    }
    verify_worst_compare(list, &worst, "radial sheet");
    for (double drag = 0.2; drag < 0.9; drag += 0.3) {
        const air_jet_point in_leaves = point_at(2.0, 0.0, 0.1, 0.0, drag), open = point_at(2.0, 0.0, 0.1, 0.0, 0.0);
        verify_compare(list, &foliage, base_exp(-0.5 * drag * 2.0), axis_m_s(&in_leaves) / axis_m_s(&open),
                       "axis speed left behind 2 m of foliage, Cd a = %.1f /m", drag);
    }
    static const double across_m[] = {2.0, 4.0};
    for (int i = 0; i < 2; i++) {
        const double s = across_m[i], law = 1.39 / 30.0 * (2.0 / 3.0 * 0.578 * base_pow(s, 1.5) / sqrt(0.1) - s);
        verify_compare(list, &bend, law, -point_at(s, 0.0, 0.1, -1.39, 0.0).y_m, "bend at %g m by 5 km/h of travel", s);
    }
    verify_table_free(table);
    return base_ok();
}
