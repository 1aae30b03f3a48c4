/* sim/air/fan_state.h - the fan's air while it is being solved: meshes, arrays and what is done to them in a round. */
#ifndef AIR_FAN_STATE_H
#define AIR_FAN_STATE_H

#include <stddef.h>

#include "air/fan_flow.h"

/* Constants of the k-epsilon equations that jets need, with the terms of the canopy that belong to them; fan_flow.c has
 * the sources. */
#define FAN_CMU 0.09f
#define FAN_CMU_1_4 0.547722558f /* root of a root of it: u* = FAN_CMU_1_4 sqrt(k) */
#define FAN_CE1 1.44f
#define FAN_CE2 1.92f
#define FAN_SIGMA_K 1.0f
#define FAN_SIGMA_E 1.3f
#define FAN_BD 6.50882f
#define FAN_C4 1.25776f
#define FAN_C5 1.25776f
/* Weight of neighbours in the diagonal of an equation whose step of false time lets the air go through tens of cells:
 * with 1 speed and pressure swing about each other there (choice; 4 takes longer). */
#define FAN_HEAVY 2.0f
/* m2/s2 and m2/s3: far below what any air out of doors has (choice), so that no quotient is without an end. */
#define FAN_LEAST_K 1e-6f
#define FAN_LEAST_EPSILON 1e-9f

/** Where an unknown stands: in the middle of the cells, or of their faces across x, y or z. */
typedef enum { FAN_CELL, FAN_U, FAN_V, FAN_W } fan_place;
enum { FAN_X, FAN_Y, FAN_Z, FAN_AXES };

/** What is at an outer side of the box. */
typedef enum {
    FAN_OPEN, /* the wind beyond it, at its own pressure: air goes in and out */
    FAN_SLIP, /* nothing passes it, and it holds nothing back; with a roughness the ground's friction acts on it */
    FAN_WALL  /* nothing passes it, and air on it has the velocity that the wind has there */
} fan_side;

/** What a solver is to do that no case of a sprayer asks for: flows that are known exactly. All 0: a sprayer's. */
typedef struct {
    fan_side side[FAN_AXES][2]; /* the ground is always closed: FAN_OPEN there means FAN_SLIP */
    double viscosity_m2_s;      /* 0: by k and epsilon; else this one everywhere, and no turbulence */
    int most_rounds;            /* 0: as usual */
    double still;               /* residual at which it ends; 0: as usual */
    bool from_wind;             /* begin with the wind, not with the flow on a coarser mesh */
    double step_s;              /* of false time; 0: as usual */
} fan_options;

/** Points along one axis and the faces between them: face f is between points f - 1 and f. All arrays can be read from
 *  -2 to n + 2. */
typedef struct {
    int n, first, last;            /* points; those that are solved for */
    float *per_size;               /* of points */
    float *per_gap;                /* of faces; 0 where nothing spreads across them */
    float *slope;                  /* of faces: 1 over the distance of the points */
    float *reach_low, *reach_high; /* of faces: from the points beside to it; 0 at the outer ones */
    float *low, *high;             /* of faces: shares of the points beside in a mean that keeps what flows through */
    float *memory;
} fan_axis;

/** Points in the cells' middles, and points on their faces. */
typedef struct {
    int n;
    double *face_m, *centre_m, *size_m; /* of the cells: [n + 1], [n], [n] */
    fan_axis cells, faces;
    float *pull; /* of faces of cells: 1 over the distance over which a pressure acts */
} fan_mesh;

typedef struct fan_pressure fan_pressure;

/** Unknowns that the body holds, sorted by plane and level. */
typedef struct {
    int *start; /* [planes * levels + 1] */
    int *j;
    float value;
} fan_held;

/** What the air blown out brings to unknowns, sorted by plane: see fan_given. */
typedef struct {
    int *start; /* [planes + 1] */
    struct fan_blown_point {
        int i, k, j;
        float gain, rate;
        float per_area; /* where the cell's other face is held: 1 over what its viscosity is to be over; else 0 */
        bool on_side;   /* that face is on a closed side of the box, not on the body */
        ptrdiff_t cell; /* in which the air is blown out */
    } * point;
    float held; /* what the other face is held at */
} fan_blown;

typedef struct {
    const air_fan_case *c;
    fan_options options;
    int n_threads;
    fan_mesh mesh[FAN_AXES];
    ptrdiff_t row, level_count; /* numbers from one level to the next; levels of a plane */
    size_t n_values;            /* of an array */
    /* What is solved for; each with two more points on all sides, in which the wind stands. */
    float *u, *v, *w, *k, *e, *p;
    float *nu;                            /* eddy viscosity */
    float *made;                          /* production of k by shear */
    float *speed, *drag;                  /* in cells: over the ground; drag * speed of what stands there, 1/s */
    float *given;                         /* share of the leaf area that has given way */
    float *left[5];                       /* what the equations of u, v, w, k, epsilon leave of the wind alone */
    float *still;                         /* divergence that the wind has on this mesh, by rounding */
    float *change, *link_low, *link_high; /* of the equation at hand */
    float *phi;                           /* of the projection */
    fan_held held[4];                     /* by fan_place */
    fan_blown blown[5];                   /* of u, v, w, k, epsilon */
    fan_pressure *pressure;
    double step_s; /* of false time */
    float weight;  /* of neighbours in the diagonal; fan_flow.c has why */
    float **room;  /* [n_threads] a plane's work, and a row of ones */
    double *sums;  /* [planes][2] */
    float *stays;  /* [ny] of a leaf's way to a new shape, what is left from cell j + 1 to cell j */
    float *leaf;   /* [nx][nz] drag of leaves that give way */
    float law;     /* ln(z / z0) of the lowest cell; 0: the ground holds nothing back */
    bool leaves_yield, finding_left;
    float *memory;
} fan_state;

enum { FAN_HALO = 2 };

/** Index of the point j = 0 of a row. */
static inline ptrdiff_t fan_at(const fan_state *s, int i, int k)
{
    return ((ptrdiff_t)(i + FAN_HALO) * s->level_count + (k + FAN_HALO)) * s->row + FAN_HALO;
}

static inline const fan_axis *fan_axis_of(const fan_state *s, int axis, fan_place place)
{
    const bool on_faces = (int)place == axis + 1;
    return on_faces ? &s->mesh[axis].faces : &s->mesh[axis].cells;
}

static inline float fan_more(float one, float other)
{
    return one > other ? one : other;
}
static inline float fan_less(float one, float other)
{
    return one < other ? one : other;
}

/* fan_mesh.c */
drupelet_status fan_mesh_create(int n, const double *face_m, const fan_side side[2], fan_mesh *mesh);
void fan_mesh_free(fan_mesh *mesh);

/* fan_setup.c: the arrays of a state, with the wind in all of them */
drupelet_status fan_state_create(const air_fan_case *fan_case, fan_options options, int n_threads, fan_state *state);
void fan_state_free(fan_state *state);

/* fan_wind.c */
drupelet_status fan_fill_with_wind(fan_state *state);
float fan_k_of_wind(float k_m2_s2); /* on the scale of the constants of jets */
/* fan_places.c */
drupelet_status fan_list_places(fan_state *state);
void fan_free_places(fan_state *state);

/* fan_transport.c: one implicit step of what the air carries along */
typedef struct {
    fan_place place;
    int left;     /* index of what the wind leaves of it */
    float spread; /* diffusivity over viscosity */
    float *value;
    float least; /* it must stay above 0, and never falls below this; 0: it may have any value */
    /** What changes the unknowns of a plane, and how much of it falls as they rise; [levels][row] each. */
    void (*balance)(const fan_state *state, int i, float *source, float *sink);
} fan_equation;
void fan_step(fan_state *state, const fan_equation *equation);
/** Air blown out enters its cell with its own speed and does not rub on the held face behind it, through which it
 *  comes: what the balance of speeds takes there by viscosity is given back. */
static inline float fan_given_back(const fan_state *s, const fan_blown *b, const struct fan_blown_point *p, float here)
{
    return p->per_area * s->nu[p->cell] * (here - b->held);
}
/** All that it brings to an unknown. */
static inline float fan_given(const fan_state *s, const fan_blown *b, const struct fan_blown_point *p, float here)
{
    return p->gain - p->rate * here + fan_given_back(s, b, p, here);
}
/** Adds what the air blown out brings to the unknowns of a plane. */
void fan_add_blown(const fan_state *state, const fan_blown *blown, int i, const float *value, float *source,
                   float *sink);
size_t fan_transport_room(const fan_state *state); /* numbers that a thread needs */

/* fan_momentum.c */
void fan_step_momentum(fan_state *state);
/** What the ground holds back in lowest cells, 1/s. @param k, beside turbulence of the two cells that share the
 *  unknown */
float fan_ground_1_s(const fan_state *state, float k, float beside);
/* fan_project.c */
void fan_project(fan_state *state);
/** Divergence of cells of a row over the step, less what the wind has. @param to may be the latter, where that is 0 */
void fan_find_divergence(const fan_state *state, int i, int k, float per_step, float *to);
/* fan_settle.c */
typedef struct {
    double change, fan;
} fan_norm;                            /* square integrals of the change of speed, of what the fan adds */
fan_norm fan_settle(fan_state *state); /* speed, drag, viscosity */
/* fan_mean.c: means of u, v, w, k, epsilon and p over two stretches of rounds */
enum { FAN_MEANS = 6 };
typedef struct {
    float *value[2][FAN_MEANS];
    int n_rounds[2];
    float *memory;
} fan_mean;
drupelet_status fan_mean_create(const fan_state *state, fan_mean *mean);
void fan_mean_free(fan_mean *mean); /* one that is all 0 is allowed */
void fan_mean_add(const fan_state *state, int half, fan_mean *mean);
/** The state becomes the mean of both, which is used up. @return half the difference of the two speeds, as the root of
 *  its square integral, over that of what the fan adds */
double fan_mean_take(fan_state *state, fan_mean *mean);
/* fan_turbulence.c */
void fan_step_turbulence(fan_state *state);

/* fan_pressure.c: laplacian(phi) = source, at once */
drupelet_status fan_pressure_create(const fan_mesh mesh[FAN_AXES], const fan_side side[FAN_AXES][2], int n_threads,
                                    fan_pressure **pressure);
void fan_pressure_free(fan_pressure *pressure);
/** @param phi  the source at the first cell; becomes phi  @param plane, row from one to the next */
void fan_pressure_solve(const fan_pressure *pressure, float *phi, ptrdiff_t plane, ptrdiff_t row);

/* fan_flow.c */
drupelet_status fan_solve(const air_fan_case *fan_case, fan_options options, int n_threads, air_watch watch,
                          air_fan_flow **flow);
/* fan_result.c */
/** How the rounds ended. */
typedef struct {
    int n_rounds;
    double residual, unsure; /* as in air_fan_flow */
} fan_end;
/** Uses up what the equations leave of the wind: no round may follow. */
drupelet_status fan_result(fan_state *state, fan_end end, air_fan_flow **flow);
/* fan_budget.c */
void fan_find_budget(fan_state *state, air_fan_budget *budget); /* as fan_result() */
/* fan_coarse.c */
bool fan_can_be_coarser(const air_fan_case *fan_case);
/** Every other face. The caller ends it with air_fan_case_free(). */
drupelet_status fan_coarser_case(const air_fan_case *fan_case, air_fan_case *coarser);
/** A state that has the wind in it gets what the fan adds to it on a coarser mesh. */
drupelet_status fan_begin_from(fan_state *state, const fan_state *coarser);

#endif
