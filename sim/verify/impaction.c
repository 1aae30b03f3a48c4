/* sim/verify/impaction.c - catch of cylinders and leaves, and the projection of leaf area, beside published curves. */
#include <stdio.h>

#include "base/elementary.h"
#include "droplet/droplet.h"
#include "verify/checks.h"

static double line_catch(const verify_table *t, int row)
{
    return droplet_cylinder_efficiency(verify_table_number(t, row, "K_radius_based"),
                                       verify_table_number(t, row, "phi"));
}

static double leaf_catch(const verify_table *t, int row)
{
    return droplet_impaction_efficiency(verify_table_number(t, row, "St_diameter_based"));
}

static double leaf_interception(const verify_table *t, int row)
{
    return droplet_edge_interception(1e-6 * verify_table_number(t, row, "diameter_um"),
                                     1e-3 * verify_table_number(t, row, "width_mm"));
}

static const verify_model models[] = {
    {"leaf_interception", leaf_interception},
    {"line_catch", line_catch},
    {"leaf_catch", leaf_catch},
};

static drupelet_status compare_projection(verify_list *list)
{
    verify_table *angles;
    const drupelet_status status = verify_table_open("leaf_projection", &angles);
    if (status.code != DRUPELET_OK)
        return status;
    verify_worst worst = verify_worst_of(list, "impaction.projection");
    for (int i = 0; i < verify_table_rows(angles); i++)
        for (int degrees = 0; degrees <= 90; degrees += 15) {
            const double ratio = verify_table_number(angles, i, "chi");
            char column[16];
            snprintf(column, sizeof column, "G_%d", degrees);
            verify_worst_case(&worst, verify_table_number(angles, i, column),
                              droplet_leaf_projection(ratio, degrees * BASE_DEGREE), "ratio %g, %d deg", ratio,
                              degrees);
        }
    verify_worst_compare(list, &worst, "projection of leaf area");
    verify_table_free(angles);
    return status;
}

drupelet_status verify_impaction(verify_list *list)
{
    const drupelet_status status = verify_columns(list, "impaction", models, sizeof models / sizeof models[0]);
    return status.code == DRUPELET_OK ? compare_projection(list) : status;
}
