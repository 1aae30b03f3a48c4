/* sim/scenario/time_limit.c - the default of run.time_limit, from the wind and the width of the domain.
 *
 * The time must do for the last droplets to come down or to leave. The farthest cross the whole block, where leaves
 * slow the wind near the ground to a fifth of that above, and then the open ground, where the log law leaves about
 * half of the wind at 4.5 m to what flies 0.4 m high. Eight rows 3.5 m apart and 100 m of open ground so take
 * (28 / 0.2 + 100 / 0.5) m = 340 m over the wind across the rows, 2.7 times the width over the wind. The default is
 * about twice that, for droplets that turbulence takes down again and again and for winds given higher up. Six of the
 * shipped scenarios at 0.3 and 1 m/s, 4,000 droplets each: at most 0.35 % of the output is aloft after half of it, and
 * none at its end.
 *
 * A wind along the rows, or a very weak one, would need hours; but such a wind keeps neither speed nor direction for so
 * long, and to follow droplets through hours of it would call safe what only waits for the next breath of wind. Still
 * air carries nothing out of the domain, whatever the limit: droplets are followed until what the fan has stirred up
 * has come to rest, and what hangs in the air then is told as aloft. */
#include "scenario/scenario.h"

#include <math.h>

#include "base/elementary.h"

#define CROSSINGS 6.0   /* widths over the wind across the rows; choice, derived above */
#define LEAST_S 180.0   /* choice: large droplets are down, the fan's air has come to rest */
#define MOST_S 3600.0   /* choice: winds as weak as that do not hold for more than an hour */
#define WHOLE_S 10.0

double scenario_usual_time_limit_s(const drupelet_scenario *s)
{
    const double width_m = s->orchard.n_rows * s->orchard.row_spacing_m + s->run.open_ground_m;
    const double across_m_s = s->weather.wind_speed_m_s * fabs(base_cos(s->weather.wind_angle_rad));
    if (s->weather.wind_speed_m_s < SCENARIO_STILL_M_S)
        return LEAST_S;
    const double limit_s = CROSSINGS * width_m / fmax(across_m_s, 1e-9);
    return fmin(fmax(WHOLE_S * ceil(limit_s / WHOLE_S - 1e-6), LEAST_S), MOST_S);
}
