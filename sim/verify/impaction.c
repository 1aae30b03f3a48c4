/* sim/verify/impaction.c - catch of cylinders and leaves, and the projection of leaf area, beside published curves. */
#include <stdio.h>
#include <string.h>

#include "base/elementary.h"
#include "base/status.h"
#include "droplet/droplet.h"
#include "verify/checks.h"
#include "verify/table.h"

#define SUBJECT "Catch of leaves and lines"
#define LANGMUIR "Langmuir and Blodgett, AAF Tech. Rep. 5418 (1946), Table II; theory"
#define PETROFF "Petroff et al., Atmos. Environ. 42 (2008) 3654, broad leaves; worked values"
#define CAMPBELL "Campbell, Agric. For. Meteorol. 36 (1986) 317; worked values"

/* The two classic tables differ from each other by up to 0.05. */
static const verify_target cylinder = {SUBJECT, LANGMUIR, "", VERIFY_ABSOLUTE, 0.03, false};
static const verify_target leaf_as_cylinder = {SUBJECT, LANGMUIR, "", VERIFY_ABSOLUTE, 0.05, false};
static const verify_target leaf = {SUBJECT, PETROFF, "", VERIFY_ABSOLUTE, 1e-4, false};
static const verify_target projection = {SUBJECT, CAMPBELL, "", VERIFY_ABSOLUTE, 1e-4, false};

static void compare_cylinder(verify_list *list, const verify_table *table)
{
    verify_worst worst = {.target = &cylinder}, as_leaf = {.target = &leaf_as_cylinder};
    for (int i = 0; i < verify_table_rows(table); i++) {
        const double phi = verify_table_number(table, i, "phi"), k = verify_table_number(table, i, "K_radius_based");
        const double st = verify_table_number(table, i, "St_diameter_based"),
                     published = verify_table_number(table, i, "Em");
        if (phi <= 1e4) /* where the closed form is meant to hold */
            verify_worst_case(&worst, published, droplet_cylinder_efficiency(k, phi), "K %g, phi %g", k, phi);
        if (phi == 100.0 && k > 0.2)
            verify_worst_case(&as_leaf, published, droplet_impaction_efficiency(st), "St %g", st);
        if (phi == 100.0 && (k == 1.0 || k == 6.25))
            verify_compare(list, &cylinder, published, droplet_cylinder_efficiency(k, phi),
                           "catch of a line, K %g, phi %g", k, phi);
    }
    verify_worst_compare(list, &worst, "catch of a line");
    verify_worst_compare(list, &as_leaf, "leaf law beside cylinder, phi 100");
}

static void compare_leaf(verify_list *list, const verify_table *table, const verify_table *angles)
{
    verify_worst worst = {.target = &leaf};
    for (int i = 0; i < verify_table_rows(table); i++) {
        const double st = verify_table_number(table, i, "St_diameter_based");
        if (strcmp(verify_table_text(table, i, "target"), "leaf") == 0)
            verify_worst_case(&worst, verify_table_number(table, i, "efficiency"), droplet_impaction_efficiency(st),
                              "St %g", st);
    }
    verify_worst_compare(list, &worst, "catch of a leaf");

    worst = (verify_worst){.target = &projection};
    for (int i = 0; i < verify_table_rows(angles); i++)
        for (int degrees = 0; degrees <= 90; degrees += 15) {
            const double ratio = verify_table_number(angles, i, "chi"), theta_rad = degrees * BASE_PI / 180.0;
            char column[16];
            snprintf(column, sizeof column, "G_%d", degrees);
            verify_worst_case(&worst, verify_table_number(angles, i, column), droplet_leaf_projection(ratio, theta_rad),
                              "ratio %g, %d deg", ratio, degrees);
        }
    verify_worst_compare(list, &worst, "projection of leaf area");
}

drupelet_status verify_impaction(verify_list *list)
{
    verify_table *lines = NULL, *leaves = NULL, *angles = NULL;
    drupelet_status status = verify_table_open("langmuir_blodgett_1946", &lines);
    if (status.code == DRUPELET_OK) status = verify_table_open("leaf_impaction", &leaves);
    if (status.code == DRUPELET_OK) status = verify_table_open("leaf_projection", &angles);
    if (status.code == DRUPELET_OK) {
        compare_cylinder(list, lines);
        compare_leaf(list, leaves, angles);
    }
    verify_table_free(angles);
    verify_table_free(leaves);
    verify_table_free(lines);
    return status;
}
