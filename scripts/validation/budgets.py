"""Where the spray of disagreements comes from, by drupelet budget: which drops, from which alley, and with or without a hit
before."""
import numpy as np

from . import checks

WIND = "weather.wind_speed=3 m/s"
CASES = [ # words, scenario, settings
    ("S1, S2: apple wall, full leaf", "apple-wall-full-leaf", (checks.FLAT, WIND)),
    ("S1, S2: apple wall, dormant", "apple-wall-dormant", (checks.FLAT, WIND)),
    ("S4: cross-flow orchard, full leaf", "cross-flow-orchard", (WIND,)),
    ("S4: the same, bare", "cross-flow-orchard", (*checks.DUTCH_BARE, WIND)),
    ("S5 (b): coarse, air off, bare", "cross-flow-orchard-coarse", (*checks.DUTCH_BARE, WIND, "sprayer.fan.speed=0 rpm")),
    ("S5 (c): coarse, outer side off, bare", "cross-flow-orchard-coarse",
     (*checks.DUTCH_BARE, WIND, "sprayer.shut=[{alley: 1, row: 1, air: no}]")),
    ("S5: coarse, full air, bare", "cross-flow-orchard-coarse", (*checks.DUTCH_BARE, WIND)),
]
FINE_UM, COARSE_UM = 100, 200
PLACES = (("ground_beyond", "ground outside"), ("airborne", "air"))


def _sum(rows, place):
    return sum(row["ends_L_of_100_L"][place]["amount"] for row in rows)


def study(lab):
    """[(words, place, litres of 100, and of them percent: below 100 um, 100 to 200, above, from the outermost alley, from
    the next one, from alleys farther in, of droplets that met neither leaf nor wood)]"""
    found = []
    for words, scenario, settings in CASES:
        budget = lab.budget(lab.case(scenario, *settings))
        for place, said in PLACES:
            sizes, zones, alleys = budget["by_size"], budget["by_zone"], budget["by_pass"]
            whole = _sum(sizes, place)
            parts = [_sum([row for row in sizes if row["high_um"] is not None and row["high_um"] <= FINE_UM], place),
                     _sum([row for row in sizes if row["low_um"] >= FINE_UM and row["high_um"] is not None
                           and row["high_um"] <= COARSE_UM], place),
                     _sum([row for row in sizes if row["low_um"] >= COARSE_UM], place),
                     _sum([row for row in alleys if row["alley"] == 0], place),
                     _sum([row for row in alleys if row["alley"] == 1], place),
                     _sum([row for row in alleys if row["alley"] > 1], place),
                     _sum([row for row in zones if row["zone"] == "none"], place)]
            found.append((words, said, whole, *[100 * part / whole if whole else float("nan") for part in parts]))
    return found


# What passes the distances of the masts of S6, in the height of their lines and above.
MASTS_M = (5, 26, 52)
LINES_M = (0.5, 6)
DRY_UM, WET_UM = 20, 40
SEEDS = range(1, 9)


def airborne(lab):
    """[(distance in m, and of what passes the first distance, percent: passing, in the height of the lines, above them; of
    what passes there, percent: now below 20 um, 20 to 40, above, below 60 um at the nozzle, 60 to 100, above, from the
    outermost alley, the next one, alleys farther in)]; each number with its error by the scatter between seeds."""
    by_seed = []
    for seed in SEEDS if not lab.quick else SEEDS[:2]:
        passing = lab.passing(lab.case(checks.AIRBORNE, WIND, seed=seed), MASTS_M)
        first = sum(row[0] for row in passing[MASTS_M[0]])
        by_seed.append([_of_passing(passing[d], first) for d in MASTS_M])
    numbers = np.array(by_seed, float)
    error = numbers.std(axis=0, ddof=1) / np.sqrt(len(numbers))
    return [(d, list(zip(*row))) for d, row in zip(MASTS_M, zip(numbers.mean(axis=0), error))]


def _of_passing(rows, first):
    weight, alley, emitted, now, z = np.array(rows, float).T
    low, high = LINES_M

    def share(at, whole):
        return 100 * weight[at].sum() / whole

    here = weight.sum()
    return [100 * here / first, share((z > low) & (z < high), first), share(z >= high, first),
            share(now < DRY_UM, here), share((now >= DRY_UM) & (now < WET_UM), here), share(now >= WET_UM, here),
            share(emitted < 60, here), share((emitted >= 60) & (emitted < FINE_UM), here), share(emitted >= FINE_UM, here),
            share(alley == 0, here), share(alley == 1, here), share(alley > 1, here)]
