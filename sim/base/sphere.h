/* sim/base/sphere.h - drag of a rigid sphere, which small droplets are in flight. */
#ifndef BASE_SPHERE_H
#define BASE_SPHERE_H

/** Drag over Stokes drag. @param re by diameter and slip */
double base_sphere_drag_factor(double re);

#endif
