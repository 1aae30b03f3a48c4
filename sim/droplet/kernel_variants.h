/* sim/droplet/kernel_variants.h - the same step of flight, compiled for each vector width. The build sets
 * DROPLET_FLIGHT_VARIANT (base, v3, v4) for kernel_flight.c, and DROPLET_HAVE_V3, DROPLET_HAVE_V4 for
 * kernel_dispatch.c. */
#ifndef DROPLET_KERNEL_VARIANTS_H
#define DROPLET_KERNEL_VARIANTS_H

#include "droplet/kernel.h"

#ifdef DROPLET_FLIGHT_VARIANT
#define DROPLET_JOIN_NOW(a, b) a##b
#define DROPLET_JOIN(a, b) DROPLET_JOIN_NOW(a, b)
#define DROPLET_FLIGHT_FUNCTION DROPLET_JOIN(droplet_flight_, DROPLET_FLIGHT_VARIANT)
#endif

void droplet_flight_base(const droplet_setting *setting, droplet_batch *batch); /* any processor of this kind */
void droplet_flight_v3(const droplet_setting *setting, droplet_batch *batch);   /* x86-64-v3: AVX2 */
void droplet_flight_v4(const droplet_setting *setting, droplet_batch *batch);   /* x86-64-v4: AVX-512 */

#endif
