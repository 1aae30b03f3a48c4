"""What the sources of S2, S4 and S5 leave open, drawn anew: wind and its height, wood, and how bare "early" was. The range of
our numbers over it stands beside the published ones; nothing is chosen by it."""
import numpy as np

from . import checks, ensembles

DRAWS, DRAWS_S2 = 10, 5
# Wind of the protocol of drift trials, measured at 2 m or 1 m above the trees; wood of measured trees (0.05 to 0.4 an
# orchard's ground, docs/theory.md, 2.5); buds and first leaves up to a leaf area index of 0.3 (choice).
WIND_M_S, WOOD, EARLY_LEAVES, WIND_HEIGHT_M = (1.5, 4.0), (0.05, 0.4), (0.0, 0.3), 2.0


def _draws(n, treetops_m):
    """n settings of (wood, wind height, wind, early leaves), evenly spread (Halton)."""
    def at(i, base, low, high):
        return low + (high - low) * ensembles._halton(i, base)

    return [(at(i, 2, *WOOD), at(i, 3, WIND_HEIGHT_M, treetops_m + 1), at(i, 5, *WIND_M_S), at(i, 7, *EARLY_LEAVES))
            for i in range(1, n + 1)]


def _site(wood, height):
    return f"canopy.wood_area_index={wood:.3f}", f"weather.wind_height={height:.2f} m"


def dutch(lab):
    """[(check, number, values)] of S4 and S5."""
    draws = _draws(2 if lab.quick else DRAWS, 2.5)
    strip = checks.beside_row(4.5, 5.5)

    def run(scenario, early, *settings, what):
        cases = [lab.case(scenario, *_site(wood, height), f"weather.wind_speed={wind:.2f} m/s",
                          *((f"canopy.leaf_area_index={leaves:.3f}",) if early else ()), *settings, seed=1 + i)
                 for i, (wood, height, wind, leaves) in enumerate(draws)]
        return np.array([strip(result)[0] for result in lab.run(cases, f"spans, {what}")])

    bare = run("cross-flow-orchard", True, what="S4 bare")
    leaf = run("cross-flow-orchard", False, what="S4 full leaf")
    found = [("S4", "bare", bare), ("S4", "full leaf", leaf), ("S4", "bare over full leaf", bare / leaf)]
    for name in ("low air", "no air", "one side"):
        settings, words = checks.MEASURES[name]
        found.append(("S5", words, 100 * (1 - run("cross-flow-orchard-coarse", True, *settings, what=f"S5 {name}") / bare)))
    return found


def german(lab):
    """The same of S2: each draw with the same weathers for bare and leafy trees."""
    members = ensembles.weather(4 if lab.quick else 12)
    at = [ensembles.DISTANCES_M.index(d) for d in (3, 10, 50)]
    ratios = []
    for wood, height, _, leaves in _draws(2 if lab.quick else DRAWS_S2, 3.5):
        site = (checks.FLAT, *_site(wood, height))
        both = []
        for stage in (f"canopy.leaf_area_index={leaves:.3f}",), ():
            results = lab.run(ensembles.cases(lab, "apple-wall-full-leaf", members, *site, *stage), "spans, S2")
            curve = np.array([[r.ground_at(d)[0] for d in ensembles.DISTANCES_M] for r in results])
            both.append(np.percentile(curve, 90, axis=0))
        ratios.append((both[0] / both[1])[at])
    ratios = np.array(ratios)
    return [("S2", f"ratio early to late at {d} m", ratios[:, i]) for i, d in enumerate((3, 10, 50))]


def study(lab):
    found = dutch(lab)
    return german(lab) + found
