/* sim/air/fan_mesh.c - points and faces along one axis of the fan's air: those of the cells, and those of velocities
 * that stand on the cells' faces. */
#include <stdlib.h>

#include "air/fan_state.h"
#include "base/status.h"

enum { ARRAYS = 7, MARGIN = FAN_HALO + 1 };

static bool make_axis(int n, fan_axis *axis)
{
    const size_t each = (size_t)(n + 2 * MARGIN + 1);
    axis->n = n;
    axis->memory = calloc(ARRAYS * each, sizeof *axis->memory);
    if (!axis->memory) return false;
    float **const array[ARRAYS] = {&axis->per_size,   &axis->per_gap, &axis->slope, &axis->reach_low,
                                   &axis->reach_high, &axis->low,     &axis->high};
    for (size_t a = 0; a < ARRAYS; a++)
        *array[a] = axis->memory + a * each + MARGIN;
    return true;
}

/* Beyond the ends the mesh goes on evenly; nothing there counts but that it is a number. */
static void extend(float *of, int last)
{
    for (int i = 1; i <= FAN_HALO; i++) {
        of[-i] = of[0];
        of[last + i] = of[last];
    }
}

static void measure_cells(const fan_mesh *m, const fan_side side[2], fan_axis *a)
{
    const int n = m->n;
    a->first = 0;
    a->last = n - 1;
    for (int i = 0; i < n; i++)
        a->per_size[i] = (float)(1.0 / m->size_m[i]);
    for (int f = 0; f <= n; f++) {
        const double behind_m = f > 0 ? m->face_m[f] - m->centre_m[f - 1] : 0.0;
        const double ahead_m = f < n ? m->centre_m[f] - m->face_m[f] : 0.0;
        const bool inside = f > 0 && f < n, wall = !inside && side[f > 0] == FAN_WALL;
        a->slope[f] = (float)(1.0 / (behind_m + ahead_m));
        a->per_gap[f] = inside || wall ? a->slope[f] : 0.0f;
        a->reach_low[f] = inside ? (float)behind_m : 0.0f;
        a->reach_high[f] = inside ? (float)ahead_m : 0.0f;
        /* of what flows through the faces of two cells, and through a face between their middles */
        a->low[f] = f == 0 ? 0.0f : f == n ? 1.0f : (float)(behind_m / (behind_m + ahead_m));
        a->high[f] = 1.0f - a->low[f];
    }
    extend(a->per_size, n - 1);
    extend(a->slope, n);
}

/* Point f is face f of the cells; face f is the middle of cell f - 1, the outermost are the outer faces themselves. */
static void measure_faces(const fan_mesh *m, const fan_side side[2], fan_axis *a)
{
    const int n = m->n;
    a->first = side[0] == FAN_OPEN ? 0 : 1;
    a->last = side[1] == FAN_OPEN ? n : n - 1;
    for (int i = 0; i <= n; i++) {
        const double low_m = i > 0 ? m->centre_m[i - 1] : m->face_m[0], high_m = i < n ? m->centre_m[i] : m->face_m[n];
        a->per_size[i] = (float)(1.0 / (high_m - low_m));
    }
    for (int f = 0; f <= n + 1; f++) {
        const bool inside = f > 0 && f <= n;
        const double size_m = m->size_m[f == 0 ? 0 : f > n ? n - 1 : f - 1];
        a->slope[f] = (float)(1.0 / size_m);
        a->per_gap[f] = inside ? a->slope[f] : 0.0f;
        a->reach_low[f] = a->reach_high[f] = inside ? (float)(0.5 * size_m) : 0.0f;
        a->low[f] = f == 0 ? 0.0f : f > n ? 1.0f : 0.5f;
        a->high[f] = 1.0f - a->low[f];
    }
    extend(a->per_size, n);
    extend(a->slope, n + 1);
}

drupelet_status fan_mesh_create(int n, const double *face_m, const fan_side side[2], fan_mesh *m)
{
    *m = (fan_mesh){.n = n, .face_m = malloc((size_t)(3 * n + 1) * sizeof(double))};
    m->pull = malloc((size_t)(n + 1) * sizeof *m->pull);
    const bool cells = make_axis(n, &m->cells), faces = make_axis(n + 1, &m->faces);
    if (!m->face_m || !m->pull || !cells || !faces) return base_error(DRUPELET_MEMORY, "no memory for the fan's air");
    m->centre_m = m->face_m + n + 1;
    m->size_m = m->centre_m + n;
    for (int i = 0; i <= n; i++)
        m->face_m[i] = face_m[i];
    for (int i = 0; i < n; i++) {
        m->centre_m[i] = 0.5 * (face_m[i] + face_m[i + 1]);
        m->size_m[i] = face_m[i + 1] - face_m[i];
        if (!(m->size_m[i] > 0.0)) return base_error(DRUPELET_BALANCE, "the faces of the fan's air do not rise");
    }
    measure_cells(m, side, &m->cells);
    measure_faces(m, side, &m->faces);
    for (int f = 0; f <= n; f++)
        m->pull[f] = m->cells.slope[f];
    return base_ok();
}

void fan_mesh_free(fan_mesh *m)
{
    free(m->face_m);
    free(m->pull);
    free(m->cells.memory);
    free(m->faces.memory);
}
