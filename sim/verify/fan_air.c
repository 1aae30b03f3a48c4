/* sim/verify/fan_air.c - fan air, continued: round jets, momentum behind a row, bending of sheets and round jets, and
 * the air of a large machine. */
#include <math.h>
#include <stddef.h>

#include "air/jet.h"
#include "base/elementary.h"
#include "verify/checks.h"

static air_jet_surroundings same_everywhere(const void *where, double x_m, double z_m)
{
    (void)x_m;
    (void)z_m;
    return *(const air_jet_surroundings *)where;
}

typedef struct {
    double across_m, bend_m, axis_m_s, half_width_m, core_m;
} place;

/* A level line 100 m up, in order of its points; across the rows and against the second axis. */
static int follow(const air_jet_start *start, double v_m_s, double drag_1_m, place out[AIR_JET_POINTS])
{
    const air_jet_surroundings around = {.v_m_s = v_m_s, .drag_1_m = drag_1_m};
    air_jet_point line[AIR_JET_POINTS];
    const int n = air_jet_follow(start, same_everywhere, &around, 30.0, AIR_JET_WEAKEST_M_S, line);
    for (int i = 0; i < n; i++) {
        const double *e = line[i].excess;
        out[i] = (place){line[i].x_m, -line[i].y_m, sqrt(e[0] * e[0] + e[1] * e[1] + e[2] * e[2]), line[i].half_width_m,
                         line[i].core_m};
    }
    return n;
}

/* The line where one of its numbers (first, rising along it) reaches a value; the last point where it does not. */
static place at(const place *line, int n, const double *first, double value)
{
    const size_t stride = sizeof *line / sizeof *first;
    int i = 1;
    while (i + 1 < n && first[(size_t)i * stride] < value)
        i++;
    const double low = first[(size_t)(i - 1) * stride], high = first[(size_t)i * stride],
                 f = (value - low) / (high - low);
    const place *a = &line[i - 1], *b = &line[i];
    return (place){a->across_m + f * (b->across_m - a->across_m), a->bend_m + f * (b->bend_m - a->bend_m),
                   a->axis_m_s + f * (b->axis_m_s - a->axis_m_s),
                   a->half_width_m + f * (b->half_width_m - a->half_width_m), a->core_m + f * (b->core_m - a->core_m)};
}

static air_jet_start level(double speed_m_s, double slot_m, double radius_m, bool round)
{
    return (air_jet_start){.x_m = radius_m,
                           .z_m = 100.0,
                           .direction = {1.0, 0.0, 0.0},
                           .speed_m_s = speed_m_s,
                           .slot_m = slot_m,
                           .radius_m = radius_m,
                           .round = round};
}

/* Speed on the axis of a sheet of 30 m/s, at a distance across. */
static double axis_m_s(double across_m, double radius_m, double slot_m, double drag_1_m)
{
    place line[AIR_JET_POINTS];
    const air_jet_start start = level(30.0, slot_m, radius_m, false);
    return at(line, follow(&start, 0.0, drag_1_m, line), &line->across_m, across_m).axis_m_s;
}

static double radial_axis(const verify_table *t, int row)
{
    return axis_m_s(verify_table_number(t, row, "r_m"), verify_table_number(t, row, "r0_m"),
                    verify_table_number(t, row, "h_m"), 0.0) / 30.0;
}

static void check_sheet(verify_list *list, place *line)
{
    static const double distance_m[] = {1.0, 2.0, 4.0}, across_m[] = {2.0, 4.0}, drag_1_m[] = {0.2, 0.5, 0.8};
    for (int i = 0; i < 3; i++)
        verify_compare(list, "fan_air.straight", 30.0 * 2.47 * sqrt(0.05 / distance_m[i]),
                       axis_m_s(distance_m[i], 0.0, 0.05, 0.0), "axis of a straight sheet, 30 m/s from 50 mm, at %g m",
                       distance_m[i]);
    for (int i = 0; i < 3; i++)
        verify_compare(list, "fan_air.foliage", base_exp(-0.5 * drag_1_m[i] * 2.0),
                       axis_m_s(2.0, 0.0, 0.1, drag_1_m[i]) / axis_m_s(2.0, 0.0, 0.1, 0.0),
                       "axis speed left behind 2 m of foliage, Cd a = %.1f /m", drag_1_m[i]);
    const air_jet_start start = level(30.0, 0.1, 0.0, false);
    const int n = follow(&start, -1.39, 0.0, line);
    for (int i = 0; i < 2; i++) {
        const double s = across_m[i], law = 1.39 / 30.0 * (2.0 / 3.0 * 0.578 * base_pow(s, 1.5) / sqrt(0.1) - s);
        verify_compare(list, "fan_air.travel", law, at(line, n, &line->across_m, s).bend_m,
                       "bend at %g m by 5 km/h of travel", s);
    }
}

static void check_round_jet(verify_list *list, place *line)
{
    const double speed_m_s = 60.0, d_m = 0.15, pi = BASE_PI;
    const air_jet_start start = level(speed_m_s, d_m, 0.0, true);
    const int n = follow(&start, 0.0, 0.0, line);
    static const double distance[] = {15.0, 30.0, 60.0}; /* in diameters */
    for (int i = 0; i < 3; i++) {
        const place p = at(line, n, &line->across_m, distance[i] * d_m);
        verify_compare(list, "fan_air.decay", 5.95 * speed_m_s / distance[i], p.axis_m_s,
                       "axis of a round jet, 60 m/s from 150 mm, %g diameters out", distance[i]);
    }
    const place far = at(line, n, &line->across_m, 60.0 * d_m);
    verify_compare(list, "fan_air.width", 0.098, far.half_width_m / far.across_m,
                   "half-width of the round jet over distance");
    verify_compare(list, "fan_air.flow", 0.32 * 60.0,
                   AIR_JET_ROUND_FLOW * far.axis_m_s * far.half_width_m * far.half_width_m
                       / (speed_m_s * 0.25 * pi * d_m * d_m),
                   "flow of the round jet over its outlet's, 60 diameters out");
    int end = 0;
    while (end + 1 < n && line[end].core_m > 0.0)
        end++;
    verify_compare(list, "fan_air.core", 5.5, line[end].across_m / d_m, "core of the round jet, in diameters");
}

static void check_row(verify_list *list, const verify_table *table, place *line)
{
    verify_worst worst = verify_worst_of(list, "fan_air.row");
    for (int i = 0; i < verify_table_rows(table); i++)
        for (int round = 0; round < 2; round++) {
            const double drag = verify_table_number(table, i, "Cd_a_per_m"),
                         l = verify_table_number(table, i, "depth_m");
            const air_jet_start start = level(30.0, 0.1, 0.0, round);
            const place leafy = at(line, follow(&start, 0.0, drag, line), &line->across_m, l);
            const double section_leafy = air_jet_momentum_section(round, leafy.core_m, leafy.half_width_m);
            const place open = at(line, follow(&start, 0.0, 0.0, line), &line->across_m, l);
            const double section_open = air_jet_momentum_section(round, open.core_m, open.half_width_m);
            verify_worst_case(&worst, verify_table_number(table, i, "momentum_ratio"),
                              leafy.axis_m_s * leafy.axis_m_s * section_leafy
                                  / (open.axis_m_s * open.axis_m_s * section_open),
                              "%s, %g /m, %g m", round ? "round" : "sheet", drag, l);
        }
    verify_worst_compare(list, &worst, "behind a row");
}

static void check_bend(verify_list *list, const verify_table *table, place *line)
{
    verify_worst worst = verify_worst_of(list, "fan_air.bend");
    const int n = verify_table_rows(table) / 2; /* the same cases for each c */
    for (int i = 0; i < n; i++) {
        const double u = verify_table_number(table, i, "Uj_m_per_s"), v = verify_table_number(table, i, "V_m_per_s");
        const double h = verify_table_number(table, i, "h_m"), x = verify_table_number(table, i, "x_m");
        if (u / v <= 8.0 || x <= 12.0 * h) /* weak bends; near the core the law is at its limit */
            continue;
        const air_jet_start start = level(u, h, 0.0, false);
        const place p = at(line, follow(&start, -v, 0.0, line), &line->across_m, x);
        const double middle =
            0.5 * (verify_table_number(table, i, "deflection_m") + verify_table_number(table, i + n, "deflection_m"));
        verify_worst_case(&worst, middle, p.bend_m, "%g and %g m/s, %g m out", u, v, x);
    }
    verify_worst_compare(list, &worst, "sheet bent");
}

static double way_across(const verify_table *t, int row)
{
    place line[AIR_JET_POINTS];
    const double d_m = 0.1, v_m_s = 2.0, r = verify_table_number(t, row, "r");
    const air_jet_start start = level(r * v_m_s, d_m, 0.0, true);
    const int n = follow(&start, -v_m_s, 0.0, line);
    return at(line, n, &line->bend_m, verify_table_number(t, row, "x_over_rd") * r * d_m).across_m / (r * d_m);
}

static const verify_model models[] = {{"radial_axis", radial_axis}, {"way_across", way_across}};

static void check_machine(verify_list *list, place *line)
{
    const air_jet_start start = level(45.0, 0.20, 0.50, false);
    const int n = follow(&start, 0.0, 0.0, line);
    verify_compare(list, "fan_air.machine", 26.0, at(line, n, &line->across_m, 2.0).axis_m_s,
                   "air of a large machine at 2 m");
    verify_compare(list, "fan_air.machine", 3.0, at(line, n, &line->across_m, 10.0).axis_m_s,
                   "air of a large machine at 10 m");
}

drupelet_status verify_fan_air(verify_list *list)
{
    place line[AIR_JET_POINTS];
    verify_table *rows = NULL, *bends = NULL;
    drupelet_status status = verify_columns(list, "fan_air", models, sizeof models / sizeof models[0]);
    if (status.code == DRUPELET_OK) status = verify_table_open("jet_through_row", &rows);
    if (status.code == DRUPELET_OK) status = verify_table_open("sheet_bend", &bends);
    if (status.code == DRUPELET_OK) {
        check_sheet(list, line);
        check_round_jet(list, line);
        check_row(list, rows, line);
        check_bend(list, bends, line);
        check_machine(list, line);
    }
    verify_table_free(bends);
    verify_table_free(rows);
    return status;
}
