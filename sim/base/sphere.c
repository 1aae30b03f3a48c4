/* sim/base/sphere.c - drag of a rigid sphere.
 *
 * R. Clift, W. H. Gauvin, Can. J. Chem. Eng. 49 (1971) 439, form 24/Re (1 + 0.15 Re^0.687) + 0.42/(1 + 42500 Re^-1.16)
 * (constants: memory); its first part is L. Schiller, A. Naumann, Z. VDI 77 (1933) 318. Re to 3e5. */
#include "base/sphere.h"

#include "base/elementary.h"

double base_sphere_drag_factor(double re)
{
    return re > 0.0 ? 1.0 + 0.15 * base_pow(re, 0.687) + 0.0175 * re / (1.0 + 42500.0 * base_pow(re, -1.16)) : 1.0;
}
