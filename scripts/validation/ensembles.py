"""Weather that trials were done in: members of an ensemble, the same for every orchard that is compared."""
import numpy as np

DISTANCES_M = (3, 5, 10, 15, 20, 30, 50)
MEMBERS = 40
DISHES = "collectors=[" + ", ".join(
    f"{{kind: dish, name: {d} m, distance: {d} m}}" for d in DISTANCES_M) + "]"


def _halton(i, base):
    """Number i (from 1) of the van der Corput sequence."""
    value, share = 0.0, 1.0
    while i > 0:
        share /= base
        value += share * (i % base)
        i //= base
    return value


def weather(n):
    """Settings and seed of n members: wind 1 to 5 m/s, 8 to 25 degC, 40 to 90 % of humidity, 30 deg to either side of
    straight across the rows: the limits of drift trials. Spread evenly; each member has its own trees and droplets."""
    members = []
    for i in range(1, n + 1):
        members.append(((f"weather.wind_speed={1 + 4 * _halton(i, 2):.3f} m/s",
                         f"weather.temperature={8 + 17 * _halton(i, 3):.2f} degC",
                         f"weather.relative_humidity={40 + 50 * _halton(i, 5):.1f} %",
                         f"weather.wind_angle={-30 + 60 * _halton(i, 7):.2f} deg"), i))
    return members


def usual_weather(winds=(2, 3, 4), angles=(-20, 0, 20)):
    """Settings and seed of a few members around a usual wind."""
    return [((f"weather.wind_speed={wind} m/s", f"weather.wind_angle={angle} deg"), 1 + i)
            for i, (wind, angle) in enumerate((wind, angle) for wind in winds for angle in angles)]


def cases(lab, scenario, members, *settings):
    return [lab.case(scenario, *settings, *member, seed=seed) for member, seed in members]


def percentile_90(values):
    """90th percentile of members [member, ...], and its standard error by the bootstrap over members."""
    values = np.asarray(values, float)
    draws = np.random.default_rng(1).integers(0, len(values), (400, len(values)))
    return np.percentile(values, 90, axis=0), np.percentile(values[draws], 90, axis=1).std(axis=0, ddof=1)
