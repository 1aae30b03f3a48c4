/* sim/verify/computed_wind.c - the wind that is solved for (air/flow.h) at a forest's edge and behind a fence. */
#include <math.h>
#include <string.h>

#include "base/status.h"
#include "verify/checks.h"
#include "verify/section.h"

enum { MOST_LAYERS = 16 };

/* The forest of forest_edge_leaves.csv from x = 0 on. @return how many layers */
static int plant_forest(const verify_table *leaves, section_stand *layer)
{
    int n = 0;
    for (; n < verify_table_rows(leaves) && n < MOST_LAYERS; n++)
        layer[n] = (section_stand){.low_m = 0.0,
                                   .high_m = 1e9,
                                   .bottom_m = verify_table_number(leaves, n, "bottom_m"),
                                   .top_m = verify_table_number(leaves, n, "top_m"),
                                   .drag_1_m = 0.2 * verify_table_number(leaves, n, "leaf_area_density_1_m")};
    return n;
}

static void compare_edge(verify_list *list, const verify_table *masts, const air_flow *flow)
{
    const double h_m = 7.5, first_m = -6.1 * h_m;
    for (int row = 0; row < verify_table_rows(masts); row++) {
        const char *name = verify_table_text(masts, row, "compared_by");
        const double x_h = verify_table_number(masts, row, "x_over_h"),
                     z_h = verify_table_number(masts, row, "z_over_h");
        const double z_m = z_h * h_m;
        const double ours = section_at(flow, flow->u, x_h * h_m, z_m) / section_at(flow, flow->u, first_m, z_m);
        if (strcmp(name, "computed_wind.edge_deep") == 0)
            verify_compare_range(list, name, 0.0, 0.25, ours, "wind at 14.5 h, h/2 high");
        else if (name[0] != '\0')
            verify_compare(list, name, verify_table_number(masts, row, "ratio"), ours,
                           "wind over that ahead, %g h from the edge, %g h high", x_h, z_h);
    }
    const double k_ahead = section_at(flow, flow->k, first_m, h_m), deep_m = 14.5 * h_m;
    verify_compare_range(list, "computed_wind.edge_up", 1.0, 3.0, section_at(flow, flow->w, 0.0, h_m),
                         "upward wind at the edge, u*");
    verify_compare_range(list, "computed_wind.edge_k", 1.5, 2.5, section_at(flow, flow->k, deep_m, h_m) / k_ahead,
                         "k at h over that ahead, 14.5 h in");
    verify_compare_range(list, "computed_wind.edge_quiet", 0.1, 0.5,
                         section_at(flow, flow->k, 3.6 * h_m, 0.5 * h_m)
                             / section_at(flow, flow->k, first_m, 0.5 * h_m),
                         "k at h/2 over that ahead, 3.6 h in");
}

static drupelet_status verify_edge(verify_list *list)
{
    const section_plan plan = {.low_m = -45.0,
                               .high_m = 120.0,
                               .width_m = 1.5,
                               .ahead_m = 255.0,
                               .behind_m = 120.0,
                               .fine_m = 9.0,
                               .depth_m = 0.75,
                               .top_m = 150.0,
                               .growth = 1.12,
                               .roughness_m = 0.06};
    section_stand layer[MOST_LAYERS];
    verify_table *masts = NULL, *leaves = NULL;
    air_flow *flow = NULL;
    drupelet_status status = verify_table_open("forest_edge", &masts);
    if (status.code == DRUPELET_OK) status = verify_table_open("forest_edge_leaves", &leaves);
    if (status.code == DRUPELET_OK) status = section_solve(&plan, layer, plant_forest(leaves, layer), &flow);
    if (status.code == DRUPELET_OK) compare_edge(list, masts, flow);
    air_flow_free(flow);
    verify_table_free(leaves);
    verify_table_free(masts);
    return status;
}

/* A fence of 2 m. @param loss pressure that it takes over density * speed^2 */
static drupelet_status solve_fence(double loss, section_plan *plan, air_flow **flow)
{
    *plan = (section_plan){.low_m = -10.25,
                           .high_m = 59.75,
                           .width_m = 0.5,
                           .ahead_m = 100.0,
                           .behind_m = 200.0,
                           .fine_m = 3.0,
                           .depth_m = 0.2,
                           .top_m = 60.0,
                           .growth = 1.12,
                           .roughness_m = 2.0 / 600.0};
    const section_stand fence = {-0.25, 0.25, 0.0, 2.0, loss / 0.5};
    return section_solve(plan, &fence, 1, flow);
}

static drupelet_status verify_fence(verify_list *list)
{
    section_plan plan;
    verify_table *lee = NULL;
    air_flow *flow = NULL;
    drupelet_status status = verify_table_open("fence_lee", &lee);
    if (status.code == DRUPELET_OK) status = solve_fence(0.78, &plan, &flow);
    if (status.code == DRUPELET_OK) {
        verify_worst above = verify_worst_of(list, "computed_wind.fence"),
                     low = verify_worst_of(list, "computed_wind.fence_low");
        for (int row = 0; row < verify_table_rows(lee); row++) {
            const double x_h = verify_table_number(lee, row, "x_over_h"),
                         z_h = verify_table_number(lee, row, "z_over_h");
            const double published = verify_table_number(lee, row, "perera");
            verify_worst_case(z_h < 1.0 ? &low : &above, published, section_share(flow, &plan, 2.0 * x_h, 2.0 * z_h),
                              "%g h off, %g h", x_h, z_h);
        }
        verify_worst_compare(list, &above, "fence, at h and 2 h");
        verify_worst_compare(list, &low, "fence, at h/4 and h/2");
    }
    air_flow_free(flow);
    flow = NULL;
    if (status.code == DRUPELET_OK) status = solve_fence(2.0, &plan, &flow);
    if (status.code == DRUPELET_OK) {
        double least = 1.0;
        for (double x_h = 0.0; x_h < 12.0; x_h += 0.1)
            least = fmin(least, section_share(flow, &plan, 2.0 * x_h, 0.38 * 2.0));
        verify_compare(list, "computed_wind.fence_least", 0.45, least,
                       "least wind behind a fence of kr 2, 0.38 h high");
    }
    air_flow_free(flow);
    verify_table_free(lee);
    return status;
}

drupelet_status verify_computed_wind(verify_list *list)
{
    const drupelet_status status = verify_edge(list);
    return status.code == DRUPELET_OK ? verify_fence(list) : status;
}
