/* sim/verify/fan_box.h - small boxes of resolved fan air (air/fan_state.h): flows that are known. Serves fan_flow.c and
 * tests. */
#ifndef VERIFY_FAN_BOX_H
#define VERIFY_FAN_BOX_H

#include "air/fan_state.h"

enum { FAN_BOX_FACES = 400 };

/** Faces from low to high: cells of fine_m between a and b, each beyond larger by growth, the last up to the end.
 *  @param face_m room for FAN_BOX_FACES  @return number of cells */
int fan_box_faces(double low_m, double a_m, double b_m, double high_m, double fine_m, double growth, double *face_m);

/** A case of these faces with room for sources, still air that is hardly turbulent, and no ground friction. The caller
 *  ends it with air_fan_case_free(). */
drupelet_status fan_box_make(int nx, const double *x_m, int ny, const double *y_m, int nz, const double *z_m,
                             int n_sources, air_fan_case *c);

/** Half of a plane jet along x from a slot FAN_BOX_SLOT_M wide at x = 0 with FAN_BOX_JET_M_S; y = 0 is the plane that
 *  it mirrors itself in. Three cells deep.
 *  @param row_from_m, row_to_m, drag_1_m  a row that it goes through  @param far a long and wide box */
#define FAN_BOX_SLOT_M 0.05
#define FAN_BOX_JET_M_S 20.0
drupelet_status fan_box_plane_jet(double row_from_m, double row_to_m, double drag_1_m, bool far, double still,
                                  air_fan_case *c, air_fan_flow **flow);
/** Momentum of its flow across a plane, over the density, of half the jet and a metre of depth. */
double fan_box_momentum(const air_fan_flow *flow, const air_fan_case *c, double x_m);

/** Half of a round jet, FAN_BOX_OUTLET_M wide, that a ground which holds nothing back blows straight up with
 *  FAN_BOX_JET_M_S into an even wind along x; y = 0 is the plane that it mirrors itself in. The box reaches some two
 *  lengths r d ahead, five behind, two to the side and four up, r the jet's speed over the wind's, d the outlet.
 *  @param n_across cells across the outlet  @param growth of cells outwards
 *  @param options out: what to solve it with */
#define FAN_BOX_OUTLET_M 0.2
drupelet_status fan_box_cross_jet(double r, int n_across, double growth, air_fan_case *c, fan_options *options);
/** Its way: heights at which the air from the middle of the outlet comes by at n distances behind, rising; 0 where it
 *  does not. */
void fan_box_way(const air_fan_flow *flow, const air_fan_case *c, int n, const double *at_m, double *height_m);

static inline size_t fan_box_cell(const air_fan_flow *f, int i, int j, int k)
{
    return ((size_t)i * (size_t)f->ny + (size_t)j) * (size_t)f->nz + (size_t)k;
}

/** The first place that is at or beyond a coordinate. */
int fan_box_at(int n, const double *centre_m, double at_m);

/** Axis of a jet at some distances: half-widths, speed and k. */
typedef struct {
    int n;
    double at_m[40], half_m[40], speed[40], k[40];
} fan_box_axis;

/** Adds a distance. @param value [n] speeds at places at_m from the axis on, falling */
void fan_box_add(fan_box_axis *axis, double distance_m, int n, const double *at_m, const double *value, double k);
/** Slope of the half-widths, and where they begin. */
double fan_box_spread(const fan_box_axis *axis, double *begin_m);

#endif
