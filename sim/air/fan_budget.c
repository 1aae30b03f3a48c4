/* sim/air/fan_budget.c - where the momentum that the fan gives to the air goes, and the air itself.
 *
 * All of it is over what the wind alone does. The balance of a cell is a sum over its faces, and what passes a face
 * between two cells leaves one and enters the other, so that the sum over all cells has only the outer sides left. */
#include <math.h>

#include "air/fan_state.h"
#include "air/wind.h"

/* Speed across the low face of an unknown along an axis, as the unknown's balance has it. */
static double face_speed(const fan_state *s, fan_place place, int axis, int i, int j, int k)
{
    const float *const speeds[FAN_AXES] = {s->u, s->v, s->w};
    const float *here = speeds[axis] + fan_at(s, i, k) + j;
    const int shifted = (int)place - 1;
    if (place == FAN_CELL) return (double)*here;
    const fan_axis *a = shifted == axis ? &s->mesh[axis].faces : &s->mesh[shifted].cells;
    const int f = shifted == FAN_X ? i : shifted == FAN_Y ? j : k;
    const ptrdiff_t back = shifted == FAN_X ? s->level_count * s->row : shifted == FAN_Y ? 1 : s->row;
    return (double)(a->low[f] * here[-back] + a->high[f] * *here);
}

/* Area of an unknown's face across an axis. */
static double area(const fan_state *s, fan_place place, int axis, int i, int j, int k)
{
    const int at[FAN_AXES] = {i, j, k};
    double all = 1.0;
    for (int a = 0; a < FAN_AXES; a++)
        if (a != axis) all /= (double)fan_axis_of(s, a, place)->per_size[at[a]];
    return all;
}

/* What leaves through the face on one side, of the unknown beside it: with the fan less without. The point that stands
 * beyond has what the wind alone has there. */
static double through_face(const fan_state *s, fan_place place, const float *value, int axis, int high, int i, int j,
                           int k)
{
    const ptrdiff_t steps[FAN_AXES] = {s->level_count * s->row, 1, s->row};
    const int face[FAN_AXES] = {i + (axis == FAN_X && high), j + (axis == FAN_Y && high), k + (axis == FAN_Z && high)};
    const ptrdiff_t at = fan_at(s, i, k) + j, along_row = fan_at(s, i, k) - 1;
    const double sign = high ? 1.0 : -1.0, less = axis == FAN_Y ? s->c->travel_m_s : 0.0;
    const double out = sign * (face_speed(s, place, axis, face[0], face[1], face[2]) - less);
    /* a row's point -1 has the wind's value; speeds of the wind do not change along y */
    const double out_wind =
        sign * (face_speed(s, place == FAN_V ? FAN_CELL : place, axis, face[0], -1, face[2]) - less);
    const double here = (double)value[at], beyond = (double)value[at + (high ? 1 : -1) * steps[axis]];
    const double wind = (double)value[along_row];
    return (out * (out > 0.0 ? here : beyond) - out_wind * wind) * area(s, place, axis, i, j, k);
}

static double out_of_box(const fan_state *s, fan_place place, const float *value)
{
    double sum = 0.0;
    for (int axis = 0; axis < FAN_AXES; axis++)
        for (int high = 0; high < 2; high++) {
            if (s->options.side[axis][high] != FAN_OPEN) continue;
            int first[FAN_AXES], last[FAN_AXES];
            for (int a = 0; a < FAN_AXES; a++) {
                const fan_axis *of = fan_axis_of(s, a, place);
                first[a] = a == axis && high ? of->last : of->first;
                last[a] = a == axis && !high ? of->first : of->last;
            }
            for (int i = first[0]; i <= last[0]; i++)
                for (int k = first[2]; k <= last[2]; k++)
                    for (int j = first[1]; j <= last[1]; j++)
                        sum += through_face(s, place, value, axis, high, i, j, k);
        }
    return sum;
}

/* Standing rows: what they take more than from the wind alone. */
static void add_rows(const fan_state *s, int i, int k, air_fan_budget *b)
{
    const air_fan_case *c = s->c;
    const ptrdiff_t at = fan_at(s, i, k), plane = s->level_count * s->row;
    const double cell_m2 = s->mesh[FAN_X].size_m[i] * s->mesh[FAN_Z].size_m[k];
    const double wind[3] = {0.5 * (double)(s->u[at - 1] + s->u[at - 1 + plane]), (double)s->v[at - 1],
                            0.5 * (double)(s->w[at - 1] + s->w[at - 1 + s->row])};
    const double speed = sqrt(wind[0] * wind[0] + wind[1] * wind[1] + wind[2] * wind[2]);
    const double leaf = c->leaf_drag_1_m[i * c->nz + k], of_wind = c->yielding.of_wind * speed;
    const double standing = s->leaves_yield && leaf > 0.0 ? air_standing_share(&c->yielding, of_wind) : 1.0;
    const double rate = (c->drag_1_m[i * c->nz + k] + leaf * standing) * speed;
    for (int j = 0; j < c->ny; j++) {
        const float *u = s->u + at + j, *v = s->v + at + j, *w = s->w + at + j;
        const double volume = cell_m2 * s->mesh[FAN_Y].size_m[j];
        const double now[3] = {0.5 * (double)(u[0] + u[plane]), 0.5 * (double)(v[0] + v[1]),
                               0.5 * (double)(w[0] + w[s->row])};
        for (int a = 0; a < 3; a++)
            b->rows_m4_s2[a] += volume * ((double)s->drag[at + j] * now[a] - rate * wind[a]);
    }
}

static double volume_of(const fan_state *s, fan_place place, int i, int j, int k)
{
    return 1.0
           / ((double)fan_axis_of(s, FAN_X, place)->per_size[i] * (double)fan_axis_of(s, FAN_Y, place)->per_size[j]
              * (double)fan_axis_of(s, FAN_Z, place)->per_size[k]);
}

/* Friction on the ground, of the unknowns of u or v; and the pressure on it. */
static double friction(const fan_state *s, fan_place place, const float *value)
{
    const fan_axis *x = fan_axis_of(s, FAN_X, place), *y = fan_axis_of(s, FAN_Y, place);
    double sum = 0.0;
    for (int i = x->first; i <= x->last && s->law > 0.0f; i++) {
        const ptrdiff_t at = fan_at(s, i, 0), back = place == FAN_U ? s->level_count * s->row : 1;
        const double before = (double)fan_ground_1_s(s, s->k[at - 1], s->k[at - 1 - (place == FAN_U ? back : 0)]);
        for (int j = y->first; j <= y->last; j++) {
            const double now = (double)fan_ground_1_s(s, s->k[at + j], s->k[at + j - back]);
            sum += volume_of(s, place, i, j, 0) * (now * (double)value[at + j] - before * (double)value[at - 1]);
        }
    }
    return sum;
}

static double pressure_on_ground(const fan_state *s)
{
    double sum = 0.0;
    for (int i = 0; i < s->c->nx; i++)
        for (int j = 0; j < s->c->ny; j++)
            sum -= s->mesh[FAN_X].size_m[i] * s->mesh[FAN_Y].size_m[j] * (double)s->p[fan_at(s, i, 0) + j];
    return sum;
}

/* What the equations of a speed do not balance: where the body holds it, that is the body's force on the air;
 * elsewhere what still changes. What the body takes is all that it does not give.
 * @param short_of the residual of its equation without air blown out */
static void add_body(const fan_state *s, int axis, const float *value, const float *short_of, air_fan_budget *b)
{
    const fan_place place = (fan_place)(axis + 1);
    const fan_axis *x = fan_axis_of(s, FAN_X, place), *y = fan_axis_of(s, FAN_Y, place),
                   *z = fan_axis_of(s, FAN_Z, place);
    const fan_held *held = &s->held[place];
    double all = 0.0, body = 0.0, given = 0.0, on_sides = 0.0;
    for (int i = x->first; i <= x->last; i++)
        for (int k = z->first; k <= z->last; k++) {
            const ptrdiff_t at = fan_at(s, i, k), in_list = (ptrdiff_t)i * s->level_count + k;
            for (int j = y->first; j <= y->last; j++)
                all += volume_of(s, place, i, j, k) * (double)short_of[at + j];
            for (int n = held->start[in_list]; n < held->start[in_list + 1]; n++)
                body += volume_of(s, place, i, held->j[n], k) * (double)short_of[at + held->j[n]];
        }
    const fan_blown *blown = &s->blown[axis];
    for (int i = x->first; i <= x->last; i++)
        for (int n = blown->start[i]; n < blown->start[i + 1]; n++) {
            const struct fan_blown_point *p = &blown->point[n];
            const double volume = volume_of(s, place, i, p->j, p->k);
            const float here = value[fan_at(s, i, p->k) + p->j];
            given += volume * (double)fan_given(s, blown, p, here);
            if (p->on_side) on_sides += volume * (double)fan_given_back(s, blown, p, here); /* nothing of the body */
        }
    b->unsettled_m4_s2[axis] = all - body + given;
    /* air that is blown out between two held faces leaves its momentum there; on held ones it moves with the machine */
    const ptrdiff_t on[3] = {s->level_count * s->row, 1, s->row};
    for (int n = 0; n < s->c->n_sources; n++) {
        const air_fan_source *of = &s->c->source[n];
        if (!(of->flow_m3_s > 0.0)) continue;
        const ptrdiff_t at = fan_at(s, of->i, of->k) + of->j;
        body += of->flow_m3_s * (of->velocity_m_s[axis] - 0.5 * (double)(value[at] + value[at + on[axis]]));
    }
    b->body_m4_s2[axis] = body + on_sides - given;
}

void fan_find_budget(fan_state *s, air_fan_budget *b)
{
    const air_fan_case *c = s->c;
    const float *const value[3] = {s->u, s->v, s->w};
    *b = (air_fan_budget){0};
    for (int n = 0; n < c->n_sources; n++) {
        const air_fan_source *of = &c->source[n];
        const ptrdiff_t at = fan_at(s, of->i, of->k) + of->j;
        const ptrdiff_t on[3] = {s->level_count * s->row, 1, s->row};
        b->blown_m3_s += of->flow_m3_s;
        for (int a = 0; a < 3; a++)
            b->blown_m4_s2[a] +=
                of->flow_m3_s
                * (of->flow_m3_s > 0.0 ? of->velocity_m_s[a] : 0.5 * (double)(value[a][at] + value[a][at + on[a]]));
    }
    for (int i = 0; i < c->nx; i++)
        for (int k = 0; k < c->nz; k++)
            add_rows(s, i, k, b);
    b->ground_m4_s2[0] = friction(s, FAN_U, s->u);
    b->ground_m4_s2[1] = friction(s, FAN_V, s->v);
    b->ground_m4_s2[2] = pressure_on_ground(s);
    for (int a = 0; a < 3; a++)
        b->out_m4_s2[a] = out_of_box(s, (fan_place)(FAN_U + a), value[a]);
    s->finding_left = true; /* becomes what the equations leave of this flow */
    fan_step_momentum(s);
    s->finding_left = false;
    for (int a = 0; a < 3; a++)
        add_body(s, a, value[a], s->left[a], b);
    /* a value that is 1 everywhere: the air itself */
    for (int axis = 0; axis < FAN_AXES; axis++)
        for (int high = 0; high < 2; high++)
            if (s->options.side[axis][high] == FAN_OPEN) {
                const int n[FAN_AXES] = {c->nx, c->ny, c->nz};
                int first[FAN_AXES] = {0, 0, 0}, last[FAN_AXES] = {n[0] - 1, n[1] - 1, n[2] - 1};
                first[axis] = last[axis] = high ? n[axis] : 0;
                for (int i = first[0]; i <= last[0]; i++)
                    for (int k = first[2]; k <= last[2]; k++)
                        for (int j = first[1]; j <= last[1]; j++) {
                            const ptrdiff_t at = fan_at(s, i, k);
                            const double more = (double)(value[axis][at + j] - value[axis][at - 1]);
                            b->out_m3_s += (high ? more : -more) * area(s, FAN_CELL, axis, i, j, k);
                        }
            }
}
