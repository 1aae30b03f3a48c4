/* sim/base/sobol.c - direction numbers of the Sobol' sequence.
 *
 * I. M. Sobol', USSR Comput. Math. Math. Phys. 7 (1967) 86; direction numbers of S. Joe, F. Y. Kuo, SIAM J. Sci.
 * Comput. 30 (2008) 2635 (their file new-joe-kuo-6, dimensions 2 to 64; as SciPy 1.10.1 distributes it).
 *
 * The table below is under the BSD licence with three clauses: Copyright (c) 2008, Stephen Joe and Frances Y. Kuo. All
 * rights reserved. Redistribution and use in source and binary forms, with or without modification, are permitted
 * provided that the following conditions are met: redistributions of source code must retain the above copyright
 * notice, this list of conditions and the following disclaimer; redistributions in binary form must reproduce the above
 * copyright notice, this list of conditions and the following disclaimer in the documentation and/or other materials
 * provided with the distribution; neither the names of the copyright holders nor the names of the University of New
 * South Wales and the University of Waikato and its contributors may be used to endorse or promote products derived
 * from this software without specific prior written permission. This software is provided by the copyright holders "as
 * is" and any express or implied warranties, including, but not limited to, the implied warranties of merchantability
 * and fitness for a particular purpose are disclaimed. In no event shall the copyright holders be liable for any
 * direct, indirect, incidental, special, exemplary, or consequential damages (including, but not limited to,
 * procurement of substitute goods or services; loss of use, data, or profits; or business interruption) however caused
 * and on any theory of liability, whether in contract, strict liability, or tort (including negligence or otherwise)
 * arising in any way out of the use of this software, even if advised of the possibility of such damage. */
#include "base/sobol.h"

#include <assert.h>

enum { MOST_DEGREE = 9 };

/* Degree of the primitive polynomial, its inner coefficients as bits, first direction numbers; dimension 2 on. */
static const struct { int degree; uint32_t coefficients, first[MOST_DEGREE]; } TABLE[BASE_SOBOL_DIMENSIONS - 1] = {
    {1, 0, {1}}, {2, 1, {1, 3}}, {3, 1, {1, 3, 1}}, {3, 2, {1, 1, 1}}, {4, 1, {1, 1, 3, 3}},
    {4, 4, {1, 3, 5, 13}}, {5, 2, {1, 1, 5, 5, 17}}, {5, 4, {1, 1, 5, 5, 5}}, {5, 7, {1, 1, 7, 11, 19}},
    {5, 11, {1, 1, 5, 1, 1}}, {5, 13, {1, 1, 1, 3, 11}}, {5, 14, {1, 3, 5, 5, 31}}, {6, 1, {1, 3, 3, 9, 7, 49}},
    {6, 13, {1, 1, 1, 15, 21, 21}}, {6, 16, {1, 3, 1, 13, 27, 49}}, {6, 19, {1, 1, 1, 15, 7, 5}},
    {6, 22, {1, 3, 1, 15, 13, 25}}, {6, 25, {1, 1, 5, 5, 19, 61}}, {7, 1, {1, 3, 7, 11, 23, 15, 103}},
    {7, 4, {1, 3, 7, 13, 13, 15, 69}}, {7, 7, {1, 1, 3, 13, 7, 35, 63}}, {7, 8, {1, 3, 5, 9, 1, 25, 53}},
    {7, 14, {1, 3, 1, 13, 9, 35, 107}}, {7, 19, {1, 3, 1, 5, 27, 61, 31}}, {7, 21, {1, 1, 5, 11, 19, 41, 61}},
    {7, 28, {1, 3, 5, 3, 3, 13, 69}}, {7, 31, {1, 1, 7, 13, 1, 19, 1}}, {7, 32, {1, 3, 7, 5, 13, 19, 59}},
    {7, 37, {1, 1, 3, 9, 25, 29, 41}}, {7, 41, {1, 3, 5, 13, 23, 1, 55}}, {7, 42, {1, 3, 7, 3, 13, 59, 17}},
    {7, 50, {1, 3, 1, 3, 5, 53, 69}}, {7, 55, {1, 1, 5, 5, 23, 33, 13}}, {7, 56, {1, 1, 7, 7, 1, 61, 123}},
    {7, 59, {1, 1, 7, 9, 13, 61, 49}}, {7, 62, {1, 3, 3, 5, 3, 55, 33}},
    {8, 14, {1, 3, 1, 15, 31, 13, 49, 245}}, {8, 21, {1, 3, 5, 15, 31, 59, 63, 97}},
    {8, 22, {1, 3, 1, 11, 11, 11, 77, 249}}, {8, 38, {1, 3, 1, 11, 27, 43, 71, 9}},
    {8, 47, {1, 1, 7, 15, 21, 11, 81, 45}}, {8, 49, {1, 3, 7, 3, 25, 31, 65, 79}},
    {8, 50, {1, 3, 1, 1, 19, 11, 3, 205}}, {8, 52, {1, 1, 5, 9, 19, 21, 29, 157}},
    {8, 56, {1, 3, 7, 11, 1, 33, 89, 185}}, {8, 67, {1, 3, 3, 3, 15, 9, 79, 71}},
    {8, 70, {1, 3, 7, 11, 15, 39, 119, 27}}, {8, 84, {1, 1, 3, 1, 11, 31, 97, 225}},
    {8, 97, {1, 1, 1, 3, 23, 43, 57, 177}}, {8, 103, {1, 3, 7, 7, 17, 17, 37, 71}},
    {8, 115, {1, 3, 1, 5, 27, 63, 123, 213}}, {8, 122, {1, 1, 3, 5, 11, 43, 53, 133}},
    {9, 8, {1, 3, 5, 5, 29, 17, 47, 173, 479}}, {9, 13, {1, 3, 3, 11, 3, 1, 109, 9, 69}},
    {9, 16, {1, 1, 1, 5, 17, 39, 23, 5, 343}}, {9, 22, {1, 3, 1, 5, 25, 15, 31, 103, 499}},
    {9, 25, {1, 1, 1, 11, 11, 17, 63, 105, 183}}, {9, 44, {1, 1, 5, 11, 9, 29, 97, 231, 363}},
    {9, 47, {1, 1, 5, 15, 19, 45, 41, 7, 383}}, {9, 52, {1, 3, 7, 7, 31, 19, 83, 137, 221}},
    {9, 55, {1, 1, 1, 3, 23, 15, 111, 223, 83}}, {9, 59, {1, 1, 5, 13, 31, 15, 55, 25, 161}},
    {9, 62, {1, 1, 3, 13, 25, 47, 39, 87, 257}},
};

void base_sobol_directions(int dimension, uint32_t v[BASE_SOBOL_BITS])
{
    assert(dimension >= 0 && dimension < BASE_SOBOL_DIMENSIONS);
    if (dimension == 0) {
        for (int i = 0; i < BASE_SOBOL_BITS; i++)
            v[i] = (uint32_t)1 << (BASE_SOBOL_BITS - 1 - i);
        return;
    }
    const int s = TABLE[dimension - 1].degree;
    for (int i = 0; i < BASE_SOBOL_BITS; i++) {
        if (i < s) {
            v[i] = TABLE[dimension - 1].first[i] << (BASE_SOBOL_BITS - 1 - i);
            continue;
        }
        v[i] = v[i - s] ^ (v[i - s] >> s);
        for (int k = 1; k < s; k++)
            if (TABLE[dimension - 1].coefficients >> (s - 1 - k) & 1)
                v[i] ^= v[i - k];
    }
}
