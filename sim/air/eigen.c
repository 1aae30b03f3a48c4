/* sim/air/eigen.c - eigenvectors of a symmetric tridiagonal matrix by rotations of Givens with implicit shifts: the QL
 * algorithm of H. Bowdler, R. S. Martin, C. Reinsch, J. H. Wilkinson, Numer. Math. 11 (1968) 293; memory. */
#include "air/eigen.h"

#include <math.h>

#include "base/elementary.h"

bool air_diagonalise(ptrdiff_t n, double *d, double *e, double *z)
{
    for (ptrdiff_t l = 0; l < n; l++) {
        for (int round = 0;; round++) {
            ptrdiff_t m = l;
            while (m + 1 < n && fabs(e[m]) > 1e-16 * (fabs(d[m]) + fabs(d[m + 1])))
                m++;
            if (m == l) break;
            if (round == 60) return false;
            double g = (d[l + 1] - d[l]) / (2.0 * e[l]), r = base_hypot(g, 1.0);
            g = d[m] - d[l] + e[l] / (g + (g >= 0.0 ? r : -r));
            double s = 1.0, c = 1.0, p = 0.0;
            ptrdiff_t i = m - 1;
            for (; i >= l; i--) {
                const double f = s * e[i], b = c * e[i];
                r = base_hypot(f, g);
                if (i + 1 < n) e[i + 1] = r;
                if (r == 0.0) {
                    d[i + 1] -= p;
                    e[m] = 0.0;
                    break;
                }
                s = f / r;
                c = g / r;
                g = d[i + 1] - p;
                r = (d[i] - g) * s + 2.0 * c * b;
                p = s * r;
                d[i + 1] = g + p;
                g = c * r - b;
                double *left = z + i * n, *right = left + n; /* rows: vectors are stored transposed */
                for (ptrdiff_t k = 0; k < n; k++) {
                    const double other = right[k];
                    right[k] = s * left[k] + c * other;
                    left[k] = c * left[k] - s * other;
                }
            }
            if (r == 0.0 && i >= l) continue;
            d[l] -= p;
            e[l] = g;
            e[m] = 0.0;
        }
    }
    return true;
}
