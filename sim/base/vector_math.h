/* sim/base/vector_math.h - single-precision functions that the compiler can turn into vector code: no call, no branch.
 * Polynomials after S. L. Moshier, Cephes mathematical library, single precision (expf.c, logf.c, sinf.c; memory, and
 * the error bounds are tested). They round downwards so that every vector width gives the same bits. */
#ifndef BASE_VECTOR_MATH_H
#define BASE_VECTOR_MATH_H

#include <math.h>
#include <stdint.h>
#include <string.h>

static inline float base_float_of_bits(int32_t bits)
{
    float value;
    memcpy(&value, &bits, sizeof value);
    return value;
}

static inline int32_t base_bits_of_float(float value)
{
    int32_t bits;
    memcpy(&bits, &value, sizeof bits);
    return bits;
}

/** The largest whole number up to x, |x| below 2^31. By conversion where the processor has no instruction for it and
 * floorf would be a call; the same value. */
static inline float base_floorf(float x)
{
#if defined(__x86_64__) && !defined(__SSE4_1__)
    const float whole = (float)(int32_t)x;
    return whole - (float)(whole > x);
#else
    return floorf(x);
#endif
}

/** exp(x) for x within -87 and 88, relative error below 3e-7. */
static inline float base_expf_within(float x)
{
    const float n = base_floorf(x * 1.44269504f + 0.5f);
    const float r = (x - n * 0.693359375f) + n * 2.12194440e-4f;
    float p = 1.9875691500e-4f;
    p = p * r + 1.3981999507e-3f;
    p = p * r + 8.3334519073e-3f;
    p = p * r + 4.1665795894e-2f;
    p = p * r + 1.6666665459e-1f;
    p = p * r + 5.0000001201e-1f;
    return (p * r * r + r + 1.0f) * base_float_of_bits(((int32_t)n + 127) * (1 << 23));
}

/** The same; x is held within -87 and 88. */
static inline float base_expf(float x)
{
    x = x < -87.0f ? -87.0f : x;
    return base_expf_within(x > 88.0f ? 88.0f : x);
}

/** ln(x) for normal x above 0, absolute error below 3e-7 near 1, relative elsewhere. */
static inline float base_logf(float x)
{
    const int32_t bits = base_bits_of_float(x) - 0x3f3504f3; /* splits at sqrt(1/2) */
    const float e = (float)(bits >> 23);
    const float m = base_float_of_bits((bits & 0x007fffff) + 0x3f3504f3) - 1.0f;
    float p = 7.0376836292e-2f;
    p = p * m - 1.1514610310e-1f;
    p = p * m + 1.1676998740e-1f;
    p = p * m - 1.2420140846e-1f;
    p = p * m + 1.4249322787e-1f;
    p = p * m - 1.6668057665e-1f;
    p = p * m + 2.0000714765e-1f;
    p = p * m - 2.4999993993e-1f;
    p = p * m + 3.3333331174e-1f;
    const float m2 = m * m;
    return (m * m2 * p - 2.12194440e-4f * e - 0.5f * m2) + m + 0.693359375f * e;
}

/** x^a for x above 0 (0 gives a number next to 0), relative error below 2e-6 for |a ln x| below 10. */
static inline float base_powf(float x, float a)
{
    return base_expf(a * base_logf(x > 1e-30f ? x : 1e-30f));
}

/** sin and cos of 2 pi u for u from 0 to 1, absolute error below 2e-7. */
static inline void base_sincos_turn(float u, float *sine, float *cosine)
{
    const float q = base_floorf(4.0f * u + 0.5f);
    const float r = (u - 0.25f * q) * 6.28318531f, r2 = r * r;
    const float s = ((-1.9515295891e-4f * r2 + 8.3321608736e-3f) * r2 - 1.6666654611e-1f) * r2 * r + r;
    const float c = ((2.443315711809948e-5f * r2 - 1.388731625493765e-3f) * r2 + 4.166664568298827e-2f) * r2 * r2
                    - 0.5f * r2 + 1.0f;
    const int32_t i = (int32_t)q & 3;
    const float a = (i & 1) ? c : s, b = (i & 1) ? s : c;
    *sine = (i & 2) ? -a : a;
    *cosine = (i == 1 || i == 2) ? -b : b;
}

#endif
