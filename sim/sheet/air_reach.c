/* sim/sheet/air_reach.c - where the computed jet reaches: the fastest outward air by height at the near and at the far
 * face of the crown, while a sprayer drives past that blows to both sides. The air is that of the simulation
 * (air/field.c), without wind, so that both sides can be compared. */
#include <math.h>
#include <stdlib.h>

#include "air/air.h"
#include "base/status.h"
#include "sheet/air_fit.h"

#define ABOVE 1.25      /* of the canopy's height: so high up the air is looked at; choice */
#define REACHES_M_S 1.0 /* air that moves leaves on the far side; choice */

/* A pass in the middle of the block alone. */
static void calm_pass(const drupelet_scenario *scenario, const sprayer_work *work, drupelet_scenario *calm)
{
    const int middle = work->pass[work->n_passes / 2].i_alley;
    *calm = *scenario; /* what it points to stays the scenario's */
    calm->weather.wind_speed_m_s = 0.0;
    for (int a = 0; a <= scenario->orchard.n_rows; a++)
        calm->sprayer.alley_driven[a] = a == middle;
}

/* Fastest air along +x (sign 1) or -x at a place of a pass's grid, over all distances along the row. */
static double fastest_m_s(const air_field *field, const air_grid *g, double x_m, double z_m, int sign)
{
    double most_m_s = 0.0;
    for (int j = 0; j < g->ny; j++) {
        const air_state air = air_grid_at(field, g, x_m, g->y_first_m + j * g->dy_m, z_m);
        most_m_s = fmax(most_m_s, sign * air.u_m_s);
    }
    return most_m_s;
}

static void look(const drupelet_scenario *calm, const air_field *field, int heading, double step_m,
                 sheet_air_reach *reach)
{
    const double near_m = 0.5 * (calm->orchard.row_spacing_m - calm->canopy.width_m),
                 far_m = near_m + calm->canopy.width_m;
    const air_grid *g = &field->pass[0];
    reach->n = 0;
    for (int i = 0; i < SHEET_HEIGHTS && (i + 0.5) * step_m <= ABOVE * calm->canopy.height_m; i++) {
        const double z_m = (i + 0.5) * step_m;
        reach->height_m[i] = z_m;
        for (int side = 0; side < 2; side++) { /* the driver's right is towards +x where it drives along +y */
            const int sign = (side == 0 ? -1 : 1) * heading;
            reach->near_m_s[side][i] = fastest_m_s(field, g, sign * near_m, z_m, sign);
            reach->far_m_s[side][i] = fastest_m_s(field, g, sign * far_m, z_m, sign);
        }
        reach->n++;
    }
}

drupelet_status sheet_air_reach_of(const drupelet_scenario *scenario, double step_m, sheet_air_reach *reach)
{
    drupelet_scenario *calm = malloc(sizeof *calm);
    sprayer_work *work = malloc(sizeof *work);
    orchard_canopy *canopy = NULL;
    air_field *field = NULL;
    *reach = (sheet_air_reach){0};
    drupelet_status status = calm && work ? base_ok() : base_error(DRUPELET_MEMORY, "no memory for the fan's air");
    if (status.code == DRUPELET_OK) status = sprayer_work_out(scenario, work);
    if (status.code == DRUPELET_OK) {
        calm_pass(scenario, work, calm);
        status = sprayer_work_out(calm, work);
    }
    if (status.code == DRUPELET_OK) status = orchard_create(calm, &canopy);
    if (status.code == DRUPELET_OK) status = air_field_create(calm, canopy, work, NULL, 1, &field);
    if (status.code == DRUPELET_OK) look(calm, field, work->pass[0].heading, step_m, reach);
    air_field_free(field);
    orchard_free(canopy);
    free(work);
    free(calm);
    return status;
}

/* Heights at the far face to which the air still reaches, of a side. */
static void put_reached(sheet *s, const sheet_air_reach *reach, int side, const char *key, const char *label)
{
    double low_m = INFINITY, high_m = -INFINITY;
    char low[32], high[32], least[32];
    for (int i = 0; i < reach->n; i++)
        if (reach->far_m_s[side][i] >= REACHES_M_S) {
            low_m = fmin(low_m, reach->height_m[i]);
            high_m = fmax(high_m, reach->height_m[i]);
        }
    sheet_quantity(SHEET_AIR_SPEED, sheet_system_of(s), REACHES_M_S, least, sizeof least);
    if (low_m > high_m) {
        sheet_words(s, key, label, "nowhere with %s or more (choice)", least);
        return;
    }
    sheet_number(SHEET_LENGTH, sheet_system_of(s), low_m, low, sizeof low);
    sheet_quantity(SHEET_LENGTH, sheet_system_of(s), high_m, high, sizeof high);
    sheet_words(s, key, label, "from %s to %s with %s or more (choice)", low, high, least);
}

void sheet_put_air_reach(sheet *s, const drupelet_scenario *scenario, const sheet_air_reach *reach)
{
    static const sheet_column columns[] = {
        {"height", "height", SHEET_LENGTH, false},         {"near_left", "left, near face", SHEET_AIR_SPEED, false},
        {"far_left", "far face", SHEET_AIR_SPEED, false},  {"near_right", "right, near face", SHEET_AIR_SPEED, false},
        {"far_right", "far face", SHEET_AIR_SPEED, false}, {"place", "", 0, true}};
    sheet_section(s, "reach", "Where the computed jet reaches (fastest outward air as the sprayer passes, no wind)");
    sheet_table(s, "heights", 6, columns);
    for (int i = reach->n - 1; i >= 0; i--) {
        const double z_m = reach->height_m[i];
        sheet_row(s, (sheet_cell[]){{.value_si = z_m},
                                    {.value_si = reach->near_m_s[0][i]},
                                    {.value_si = reach->far_m_s[0][i]},
                                    {.value_si = reach->near_m_s[1][i]},
                                    {.value_si = reach->far_m_s[1][i]},
                                    {.words = z_m > scenario->canopy.height_m ? "above the crown"
                                              : z_m < scenario->canopy.base_m ? "below the crown"
                                                                              : "crown"}});
    }
    put_reached(s, reach, 0, "left", "reaches the far face, left");
    put_reached(s, reach, 1, "right", "reaches the far face, right");
    sheet_note(
        s, "Computed by the jets of the simulation, which are integral laws, not measured: check it with ribbons on "
           "the far side of the tree, in little wind.");
}
