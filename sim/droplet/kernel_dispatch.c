/* sim/droplet/kernel_dispatch.c - picks the step of flight that suits the processor. All variants give the same
 * numbers: no operation is fused or reordered, and the elementary functions are our own. */
#include <stddef.h>
#include <string.h>

#include "droplet/kernel_variants.h"

typedef struct {
    const char *name;
    droplet_flight flight;
    int usable;
} variant;

enum { MOST_VARIANTS = 3 };

/* Widest first; the last one always works. */
static int list(variant variants[MOST_VARIANTS])
{
    int n = 0;
#ifdef DROPLET_HAVE_V4
    variants[n++] = (variant){"v4", droplet_flight_v4,
                              __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512bw")
                                  && __builtin_cpu_supports("avx512cd") && __builtin_cpu_supports("avx512dq")
                                  && __builtin_cpu_supports("avx512vl")};
#endif
#ifdef DROPLET_HAVE_V3
    variants[n++] =
        (variant){"v3", droplet_flight_v3,
                  __builtin_cpu_supports("avx2") && __builtin_cpu_supports("bmi2") && __builtin_cpu_supports("fma")};
#endif
    variants[n++] = (variant){"base", droplet_flight_base, 1};
    return n;
}

static variant pick(const char *name)
{
    variant variants[MOST_VARIANTS];
    const int n = list(variants);
    for (int i = 0; i < n; i++)
        if (variants[i].usable && (!name || strcmp(name, variants[i].name) == 0))
            return variants[i];
    return (variant){NULL, NULL, 0};
}

droplet_flight droplet_flight_pick(void)
{
    return pick(NULL).flight;
}

const char *droplet_flight_name(void)
{
    return pick(NULL).name;
}

droplet_flight droplet_flight_named(const char *name)
{
    return pick(name).flight;
}
