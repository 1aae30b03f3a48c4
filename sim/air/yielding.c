/* sim/air/yielding.c - the share of the leaf area that stands across an even stream of air.
 *
 * Force ~ U^(2 + V) far above a turning speed Ur, U^2 far below it: share = (1 + (U / Ur)^2)^(V / 2). V is -1 where
 * leaves roll up (S. Vogel, J. Exp. Bot. 40 (1989) 941, second hand), -2/3 for a strip that bends (S. Alben, M.
 * Shelley, J. Zhang, Nature 420 (2002) 479, second hand), -4/3 for a disc that rolls to a cone (L. Schouveiler, A.
 * Boudaoud 2006, second hand). No single V holds over all speeds (F. Gosselin, E. de Langre, B. Machado-Almeida, J.
 * Fluid Mech. 650 (2010) 319, abstract), hence the smooth law. Ur is 6 m/s, where walnut, peach and pepper leaves
 * change their way of bending (Horticulturae 11 (2025) 1002, abstract). That meets what was measured on whole crowns
 * without more: docs/leaves.md, tests/data/crowns_in_wind.csv.
 *
 * Left out: leaves of one kind differ; single stiff leaves on short stalks hardly yield (white oak, Vogel 1989). */
#include "air/yielding.h"

#include <math.h>

#include "base/elementary.h"

air_yielding air_yielding_of(const scenario_canopy *c)
{
    const bool yields = (c->yields_to_wind || c->yields_to_jet) && c->vogel_exponent < 0.0;
    return yields ? (air_yielding){.of_wind = c->yields_to_wind ? 1.0 : 0.0,
                                       .of_jet = c->yields_to_jet ? 1.0 : 0.0,
                                       .per_turning_s_m = 1.0 / c->turning_speed_m_s,
                                       .half_exponent = 0.5 * c->vogel_exponent,
                                       .response_s = c->leaf_response_s}
                  : (air_yielding){0};
}

double air_standing_share(const air_yielding *y, double speed_m_s)
{
    const double over = y->per_turning_s_m * speed_m_s, square = 1.0 + over * over;
    return y->half_exponent == -0.5 ? 1.0 / sqrt(square) : base_pow(square, y->half_exponent);
}
