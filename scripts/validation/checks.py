"""The field checks S1 to S12: runs, numbers beside published ones, verdicts. No constant of the model was set by them but
where docs/model.md says so. Published numbers and allowed ranges: tests/data/field_checks.csv, basic_drift_values.csv."""
import math
from dataclasses import dataclass, field

import numpy as np

from . import ensembles
from .runs import mean, read_published

FLAT = "orchard.grass_leaf_area_index=0"
NEAR_M = 10  # as far the model error of ground deposit is that of "near": up to where S3 takes the near slope
BARE = ("canopy.leaf_area_index=0", "canopy.wood_area_index=0.25", "canopy.wood_diameter=12 mm")
LINES = "collectors=[" + ", ".join(
    f"{{kind: line, name: {d} m, distance: {d} m, from: 0.5 m, to: 6 m}}" for d in (5, 26, 52)) + "]"


@dataclass
class Row:
    """A line of a check. low, high: allowed, None: no bound; with neither the line is shown and not judged. counts_as:
    the quantity of the model error that the line counts for, "" where it does not; published_low, published_high: the
    published number then, one of them None where only a bound is published; trial, in_view: of tests/data/field_trials.csv
    and field_checks.csv."""

    what: str
    unit: str
    published: str
    ours: float = math.nan
    error: float = math.nan
    low: float = None
    high: float = None
    why_not: str = ""  # not run: why
    published_low: float = None
    published_high: float = None
    counts_as: str = ""
    trial: str = ""
    in_view: str = ""

    @property
    def verdict(self):
        if self.why_not:
            return "not run: " + self.why_not
        if self.low is None and self.high is None:
            return ""
        inside = (self.low is None or self.ours >= self.low) and (self.high is None or self.ours <= self.high)
        return "pass" if inside else "FAIL"


@dataclass
class Check:
    name: str
    title: str
    rows: list = field(default_factory=list)

    @property
    def failed(self):
        return any(row.verdict == "FAIL" for row in self.rows)

    @property
    def judged(self):
        return any(row.verdict in ("pass", "FAIL") for row in self.rows)


def _number(text):
    return float(text) if text else None


class Published:
    """field_checks.csv and basic_drift_values.csv."""

    def __init__(self, source):
        self.checks = read_published(f"{source}/tests/data/field_checks.csv")
        self.basic = read_published(f"{source}/tests/data/basic_drift_values.csv")

    def row(self, check, what, ours, error=math.nan, why_not=""):
        for line in self.checks:
            if line["check"] == check and line["quantity"] == what:
                low, high = line["published_low"], line["published_high"]
                said = (low if low == high else f"{low} to {high}" if low and high else
                        f"more than {low}" if low else f"up to {high}")
                unit = "" if line["unit"] == "1" else line["unit"]
                return Row(what, unit, said, ours, error, _number(line["allowed_low"]), _number(line["allowed_high"]),
                           why_not, _number(low), _number(high), line["counts_as"], line["source"], line["in_view"])
        raise KeyError(f"{check}: {what}")

    def drift(self, stage):
        """{distance: percent of the rate}, 90th percentile."""
        return {float(line["distance_m"]): float(line["drift_pct_of_rate_p90"])
                for line in self.basic if line["crop_stage"] == stage}


def ratio(a, b):
    """Ratio of two (value, error), with its error."""
    value = a[0] / b[0] if b[0] else math.nan
    return value, abs(value) * math.hypot(a[1] / a[0] if a[0] else math.nan, b[1] / b[0] if b[0] else math.nan)


def less(reference, other):
    """Percent less than the reference."""
    value, error = ratio(other, reference)
    return 100 * (1 - value), 100 * error


# ---- S1 to S3: the apple wall against the German basic drift values ----

SERIES = { # name: scenario, settings, words
    "leaf": ("apple-wall-full-leaf", (FLAT,), "full leaf"),
    "leaf on grass": ("apple-wall-full-leaf", (), "full leaf, the default's grass"),
    "bare": ("apple-wall-full-leaf", (FLAT, *BARE), "the same without leaves"),
    "dormant": ("apple-wall-dormant", (FLAT,), "without leaves, fan in its winter gear"),
    "dormant on grass": ("apple-wall-dormant", (), "without leaves, winter gear, the default's grass"),
}


def drift_curves(lab):
    """Ensembles of S1 to S3: {series: array [member, distance], percent of the rate}, and of dishes on the default's
    grass where the program has virtual collectors."""
    members = ensembles.weather(6 if lab.quick else ensembles.MEMBERS)
    dishes = not lab.takes(lab.case("apple-wall-full-leaf", ensembles.DISHES))
    curves = {}
    for name, (scenario, settings, _) in SERIES.items():
        if lab.quick and name not in ("leaf", "bare"):
            continue
        extra = (ensembles.DISHES,) if dishes and name.endswith("on grass") else ()
        results = lab.run(ensembles.cases(lab, scenario, members, *settings, *extra), f"drift curves, {name}")
        curves[name] = np.array([[r.ground_at(d)[0] for d in ensembles.DISTANCES_M] for r in results])
        if extra:
            curves[name.replace("on grass", "dishes")] = np.array(
                [[r.collector(f"{d} m")[0] for d in ensembles.DISTANCES_M] for r in results])
    return curves


def s1(published, curves):
    check = Check("S1", "Ground drift beside an apple wall: 90th percentile over winds of 1 to 5 m/s")
    factor = lambda distance: 2 if distance <= 30 else 3
    for stage, series in (("fruit_late", "leaf"), ("fruit_early", "dormant")):
        if series not in curves:
            continue
        expected = published.drift(stage)
        value, error = ensembles.percentile_90(curves[series])
        for i, d in enumerate(ensembles.DISTANCES_M):
            check.rows.append(Row(f"{SERIES[series][2]}, {d} m", "percent of the rate", f"{expected[d]:.2f}", value[i],
                                  error[i], expected[d] / factor(d), expected[d] * factor(d), "", expected[d],
                                  expected[d], "ground_near" if d <= NEAR_M else "ground_far", "German", "scenario"))
    for series in ("leaf on grass", "leaf dishes", "dormant on grass", "dormant dishes"):
        if series not in curves:
            continue
        expected = published.drift("fruit_late" if series.startswith("leaf") else "fruit_early")
        value, error = ensembles.percentile_90(curves[series])
        words = {"leaf on grass": "full leaf, ground and grass together",
                 "leaf dishes": "full leaf, dishes on the grass",
                 "dormant on grass": "dormant, ground and grass together",
                 "dormant dishes": "dormant, dishes on the grass"}[series]
        for i, d in enumerate(ensembles.DISTANCES_M):
            if d in (3, 10, 50):
                check.rows.append(Row(f"{words}, {d} m", "percent of the rate", f"{expected[d]:.2f}", value[i],
                                      error[i]))
    median = np.median(curves["leaf"][:, 0])
    check.rows.append(Row("full leaf, 3 m, median of the ensemble", "percent of the rate",
                          "6.4 (derived from 90th and 67th)", median))
    return check


def s2(published, curves):
    check = Check("S2", "Leafless over full leaf, same machine and weather: ratio of the 90th percentiles")
    members = len(curves["leaf"])
    draws = np.random.default_rng(2).integers(0, members, (400, members))

    def ratios(of):
        return np.percentile(curves["bare"][of], 90, axis=-2) / np.percentile(curves["leaf"][of], 90, axis=-2)

    value, spread = ratios(np.arange(members)), np.array([ratios(draw) for draw in draws]).std(axis=0, ddof=1)
    at = {d: i for i, d in enumerate(ensembles.DISTANCES_M)}
    for d in (3, 10, 50):
        check.rows.append(published.row("S2", f"ratio early to late at {d} m", value[at[d]], spread[at[d]]))
    check.rows.append(published.row("S2", "distance of the highest ratio",
                                    float(ensembles.DISTANCES_M[int(np.argmax(value))])))
    if "dormant" in curves:
        winter = np.percentile(curves["dormant"], 90, axis=0) / np.percentile(curves["leaf"], 90, axis=0)
        for d, said in ((3, "1.86"), (10, "3.28"), (50, "1.36")):
            check.rows.append(Row(f"the same with the fan in its winter gear, {d} m", "", said, winter[at[d]]))
    return check


def exponent(distances_m, percent):
    return np.polyfit(np.log(distances_m), np.log(percent), 1)[0]


def s3(published, curves):
    check = Check("S3", "Slope of the 90th percentile with distance: exponent near (3 to 10 m) and far (15 to 50 m)")
    distances = np.array(ensembles.DISTANCES_M, float)
    near, far = distances <= 10, distances >= 15
    for stage, series in (("early", "dormant"), ("late", "leaf")):
        if series not in curves:
            continue
        members = len(curves[series])
        draws = np.random.default_rng(3).integers(0, members, (400, members))
        both = []
        for of in (np.arange(members), *draws):
            curve = np.percentile(curves[series][of], 90, axis=0)
            both.append((exponent(distances[near], curve[near]), exponent(distances[far], curve[far])))
        both = np.array(both)
        spread = both[1:].std(axis=0, ddof=1)
        check.rows.append(published.row("S3", f"near exponent {stage}", both[0, 0], spread[0]))
        check.rows.append(published.row("S3", f"far exponent {stage}", both[0, 1], spread[1]))
        check.rows.append(published.row("S3", f"far minus near exponent {stage}", both[0, 1] - both[0, 0],
                                        (both[1:, 1] - both[1:, 0]).std(ddof=1)))
    return check


# ---- S4, S5: the Dutch orchard ----

ROW_TO_EDGE_M = 1.5 # half the row spacing of cross-flow-orchard.yaml: trunks to the edge of the treated area
DUTCH_BARE = ("canopy.leaf_area_index=0",)
LOW_AIR = "sprayer.fan.speed=360 rpm" # two thirds; choice, "low winter setting"
MEASURES = { # coarse tips: settings, words
    "low air": ((LOW_AIR,), "(a) coarse, low air"),
    "no air": (("sprayer.fan.speed=0 rpm",), "(b) coarse, air off"),
    "one side": (("sprayer.shut=[{alley: 1, row: 1, air: no}]",), "(c) coarse, outer side off"),
    "one side, no air there": (("sprayer.shut=[{alley: 1, row: 1, air: yes}]",),
                               "as (c), the air of that side off too"),
    "outer alley left out": (("sprayer.alleys=[1, 2, 3, 4, 5, 6, 7, 8]",), "the outer alley not driven, both sides"),
    "full air": ((), "coarse, full air"),
}


def beside_row(low_m, high_m):
    """Mean ground deposit between distances from the outer trunk line."""
    return lambda result: result.ground(low_m - ROW_TO_EDGE_M, high_m - ROW_TO_EDGE_M)


def dutch(lab, scenario, settings, what):
    members = ensembles.usual_weather((3,), (0,)) if lab.quick else ensembles.usual_weather()
    return lab.run(ensembles.cases(lab, scenario, members, *settings), what)


def dutch_reference(lab):
    return {"bare": dutch(lab, "cross-flow-orchard", DUTCH_BARE, "S4, bare"),
            "leaf": dutch(lab, "cross-flow-orchard", (), "S4, full leaf")}


def dutch_measures(lab):
    """{measure: results, or why it was not run}"""
    measures = {}
    for name, (settings, _) in MEASURES.items():
        why_not = lab.takes(lab.case("cross-flow-orchard-coarse", *DUTCH_BARE, *settings))
        if why_not:
            keys = [setting.split("=")[0] for setting in settings]
            measures[name] = "needs " + ", ".join(keys)
        else:
            measures[name] = dutch(lab, "cross-flow-orchard-coarse", DUTCH_BARE + settings, f"S5, {name}")
    return measures


def s4(lab, published):
    check = Check("S4", "Beside the cross-flow orchard, 4.5 to 5.5 m from the outer trunks, mean over winds of 2 to 4 m/s")
    reference = dutch_reference(lab)
    strip = beside_row(4.5, 5.5)
    bare, leaf = mean(reference["bare"], strip), mean(reference["leaf"], strip)
    check.rows.append(published.row("S4", "bare", *bare))
    check.rows.append(published.row("S4", "full leaf", *leaf))
    check.rows.append(published.row("S4", "bare over full leaf", *ratio(bare, leaf)))
    return check


def s5(lab, published):
    check = Check("S5", "Measures in the bare cross-flow orchard: less than with fine cones and full air, 4.5 to 5.5 m")
    strip, wide = beside_row(4.5, 5.5), beside_row(3, 7)
    reference = dutch_reference(lab)["bare"]
    measures = dutch_measures(lab)
    wide_said = {"low air": "0", "no air": "72", "one side": "80"}
    for name, (_, words) in MEASURES.items():
        runs = measures[name]
        failed = isinstance(runs, str)
        number = (math.nan, math.nan) if failed else less(mean(reference, strip), mean(runs, strip))
        if name in wide_said:
            check.rows.append(published.row("S5", words, *number, why_not=runs if failed else ""))
        else:
            check.rows.append(Row(words, "percent less", "", *number, why_not=runs if failed else ""))
    for name, said in wide_said.items():
        if not isinstance(measures[name], str):
            check.rows.append(Row(f"{MEASURES[name][1]}, 3 to 7 m", "percent less", said,
                                  *less(mean(reference, wide), mean(measures[name], wide))))
    return check


# ---- S6: airborne drift ----

AIRBORNE = "apple-wall-full-leaf"
# The same eight rows sprayed inside an orchard: sixteen more stand downwind of them, and the masts among those, in the
# middle of alleys. 5 and 26 m lie in a row or beside one; the two alleys around each stand for them.
ROWS_BEYOND, SPACING_M = 16, 3.5
INSIDE = (f"orchard.rows={8 + ROWS_BEYOND}", f"sprayer.alleys=[{', '.join(str(a) for a in range(ROWS_BEYOND, ROWS_BEYOND + 9))}]",
          f"sprayer.shut=[{{alley: {ROWS_BEYOND}, row: {ROWS_BEYOND}, air: no}}]")
ALLEYS = {5: (3.5, 7.0), 26: (24.5, 28.0), 52: (52.5,)} # distance from the edge of the sprayed rows, m
WINDS_M_S = (2, 3, 4, 5)


def inside_name(metres):
    return f"inside {metres:g} m"


INSIDE_LINES = "collectors=[" + ", ".join(
    f"{{kind: line, name: {inside_name(d)}, x: {d - (ROWS_BEYOND - 0.5) * SPACING_M:g} m, from: 0.5 m, to: 6 m}}"
    for places in ALLEYS.values() for d in places) + "]"


def airborne_runs(lab):
    lines = not lab.takes(lab.case(AIRBORNE, LINES))
    members = ensembles.usual_weather((3,), (0,)) if lab.quick else ensembles.usual_weather()
    cases = ensembles.cases(lab, AIRBORNE, members, *((LINES,) if lines else ()))
    return lab.run(cases, "S6"), lines


def inside_runs(lab):
    members = ensembles.usual_weather((3,), (0,)) if lab.quick else ensembles.usual_weather(angles=(0,))
    return lab.run(ensembles.cases(lab, AIRBORNE, members, *INSIDE, INSIDE_LINES), "S6, inside an orchard")


def wind_runs(lab):
    """{wind: results} with lines, of winds that go with the published effect."""
    winds, seeds = ((2, 4), (1,)) if lab.quick else (WINDS_M_S, (1, 2))
    runs = lab.run([lab.case(AIRBORNE, LINES, f"weather.wind_speed={w} m/s", seed=seed) for w in winds for seed in seeds],
                   "S6, winds")
    return {w: runs[i * len(seeds):(i + 1) * len(seeds)] for i, w in enumerate(winds)}


def slope_of_log(by_wind, number):
    """Rise of the logarithm of a number with the wind, per m/s, with its error: least squares through the winds."""
    pairs = [mean(runs, number) for runs in by_wind.values()]
    y, error = np.log([pair[0] for pair in pairs]), np.array([pair[1] / pair[0] for pair in pairs])
    x = np.array(list(by_wind), float) - np.mean(list(by_wind))
    return (x * y).sum() / (x * x).sum(), math.sqrt((x * x * error ** 2).sum()) / (x * x).sum()


def _between(results, places):
    """Mean of the lines in the alleys around a place."""
    caught = [mean(results, lambda r, d=d: r.collector(inside_name(d))) for d in places]
    return np.mean([c[0] for c in caught]), math.sqrt(sum(c[1] ** 2 for c in caught)) / len(caught)


def s6(lab, published):
    check = Check("S6", "Airborne drift behind the apple wall, winds of 2 to 4 m/s: lines from 0.5 to 6 m of height")
    results, lines = airborne_runs(lab)
    if lines:
        inside = inside_runs(lab)
        for words, caught in (("", {d: mean(results, lambda r, d=d: r.collector(f"{d} m")) for d in ALLEYS}),
                              ("lines inside an orchard: ", {d: _between(inside, places) for d, places in ALLEYS.items()})):
            for near, far in ((5, 26), (26, 52), (5, 52)):
                check.rows.append(published.row("S6", f"{words}{near} m over {far} m", *ratio(caught[near], caught[far])))
        by_wind = wind_runs(lab)
        for d in (5, 52):
            check.rows.append(published.row("S6", f"more wind: lines at {d} m",
                                            *slope_of_log(by_wind, lambda r, d=d: r.collector(f"{d} m"))))
    else:
        for what in ("5 m over 26 m", "26 m over 52 m"):
            check.rows.append(published.row("S6", what, math.nan, why_not="needs collectors"))
    planes = ratio(mean(results, lambda r: r.flux(5.0, 0.5, 6.0)), mean(results, lambda r: r.flux(50.0, 0.5, 6.0)))
    check.rows.append(Row("5 m over 50 m, flux through upright planes, 0.5 to 6 m", "", "12.7 (at 52 m)", *planes))
    whole = ratio(mean(results, lambda r: r.flux(5.0)), mean(results, lambda r: r.flux(50.0)))
    check.rows.append(Row("the same, all heights", "", "12.7 (at 52 m)", *whole))
    return check


# ---- S7, S8: what the crop holds ----

def _leaves_of_rows(first, last):
    return lambda r: (100 * r["canopy/row_deposit"][first - 1:last].sum(),
                      100 * math.sqrt((r["canopy/row_deposit_standard_error"][first - 1:last] ** 2).sum()))


def citrus_runs(lab):
    winds = (2,) if lab.quick else (1, 2, 3)
    return lab.run([lab.case("citrus-two-rows", f"weather.wind_speed={wind} m/s", seed=1 + i)
                    for i, wind in enumerate(winds)], "S7")


def s7(lab, published):
    check = Check("S7", "Dense citrus sprayed between two rows, winds of 1 to 3 m/s: where the output went")
    results = citrus_runs(lab)
    wood = mean(results, lambda r: r.fate("wood"))
    two, six = mean(results, _leaves_of_rows(3, 4)), mean(results, _leaves_of_rows(1, 6))
    check.rows.append(published.row("S7", "adjacent rows", two[0] + wood[0], math.hypot(two[1], wood[1])))
    check.rows.append(published.row("S7", "three rows each side", six[0] + wood[0], math.hypot(six[1], wood[1])))
    check.rows.append(published.row("S7", "ground and drift", 100 - six[0] - wood[0], math.hypot(six[1], wood[1])))
    check.rows.append(Row("of it on wood", "percent of the output", "", *wood))
    check.rows.append(Row("of it on the ground of the grove", "percent of the output", "",
                          *mean(results, lambda r: r.fate("ground_alley", "ground_row"))))
    return check


def s8(lab, published):
    check = Check("S8", "Hedgerow vines, leaf area index 1.94, winds of 1 to 3 m/s: on the leaves")
    winds = (1.5,) if lab.quick else (1, 2, 3)
    for scenario, what in (("vine-axial", "axial fan, 1355 L/ha"), ("vine-pneumatic", "pneumatic, 246 L/ha")):
        results = lab.run([lab.case(scenario, f"weather.wind_speed={wind} m/s", seed=1 + i)
                           for i, wind in enumerate(winds)], f"S8, {scenario}")
        check.rows.append(published.row("S8", what, *mean(results, lambda r: r.fate("leaf"))))
        for words, fates in (("on wood", ["wood"]), ("on the ground of the vineyard", ["ground_alley", "ground_row"])):
            check.rows.append(Row(f"{words}, {what}", "percent of the output", "",
                                  *mean(results, lambda r, f=fates: r.fate(*f))))
    return check


# ---- S10: one more row in the way of the drift ----

FEW_ROWS = ("sprayer.alleys=[1, 2, 3, 4, 5, 6, 7, 8]",)
ONE_MORE = ("orchard.rows=9", "sprayer.alleys=[2, 3, 4, 5, 6, 7, 8, 9]")
BEHIND = "collectors=[{{kind: line, name: low, distance: {0} m, from: 0.5 m, to: 3.5 m}}, " \
    "{{kind: line, name: high, distance: {0} m, from: 3 m, to: 6 m}}]"


def s10(lab, published):
    """Eight rows sprayed from the alleys inside, without and with one more row, not sprayed, on the lee side. The lines
    stand in the same place: 8.5 m from the last sprayed row's edge without, 5 m from that of the other row with it."""
    check = Check("S10", "One more leafy row, not sprayed, on the lee side of the apple wall: less on lines behind it")
    seeds = (1,) if lab.quick else (1, 2, 3, 4)
    runs = lab.run([lab.case(AIRBORNE, *rows, BEHIND.format(at), seed=seed)
                    for rows, at in ((FEW_ROWS, 8.5), (ONE_MORE, 5)) for seed in seeds], "S10")
    without, behind = runs[:len(seeds)], runs[len(seeds):]
    for name, what in (("low", "lines from 0.5 to 3.5 m behind one leafy row"),
                       ("high", "lines from 3 to 6 m behind one leafy row")):
        check.rows.append(published.row("S10", what, *less(mean(without, lambda r, n=name: r.collector(n)),
                                                           mean(behind, lambda r, n=name: r.collector(n)))))
    return check


# ---- S11: where in the crown ----

def density(results, choose):
    """Deposit per leaf area of the voxels (summed along the row) that choose(row, z, x) marks, over that of all: mean
    over runs, and its error by their scatter, which holds that of the trees."""
    values = []
    for r in results:
        at = choose(*np.meshgrid(r["canopy/row_x"], r["canopy/z"], r["canopy/x"], indexing="ij"))
        deposit, area = r["canopy/deposit"], r["canopy/leaf_area"]
        values.append(deposit[at].sum() / area[at].sum() / (deposit.sum() / area.sum()))
    return float(np.mean(values)), np.std(values, ddof=1) / math.sqrt(len(values)) if len(values) > 1 else math.nan


def outer_over_inner(results):
    return ratio(density(results, lambda row, z, x: abs(x) > 1.5),
                 density(results, lambda row, z, x: (abs(x) < 0.75) & (z > 1.5) & (z < 4.5)))


def s11(lab, published):
    check = Check("S11", "In the crowns: outer and inner leaves of tall round apple trees, and less air in dense citrus")
    seeds = (1,) if lab.quick else (1, 2, 3, 4)
    round_trees = lab.run([lab.case("tall-globe-orchard", seed=seed) for seed in seeds], "S11")
    check.rows.append(published.row("S11", "round apple trees: outer over inner leaves", *outer_over_inner(round_trees)))
    full, low = (lab.run([lab.case("citrus-two-rows", *air, seed=seed) for seed in seeds], "S11")
                 for air in ((), ("sprayer.fan.speed=360 rpm",)))
    check.rows.append(published.row("S11", "dense citrus: mean on leaves with less air",
                                    *less(mean(full, lambda r: r.fate("leaf")), mean(low, lambda r: r.fate("leaf")))))
    return check


# ---- S12: small particles on grass, as the program's own verification has it ----

def s12(lab, published):
    check = Check("S12", "Speed at which small particles come down on grass, as `drupelet verify` works it out")
    for diameter in ("19 um", "23.6 um"):
        check.rows.append(published.row("S12", diameter, lab.verified(f"deposition on grass, {diameter}")))
    return check


# ---- S9: the fan's jet ----

FAN_HEIGHT_M = 1.3 # centre of the arc in large-fan-still-air.yaml


def fan_speeds(lab):
    """Distance from the fan's centre, m, and the highest air speed at it at any angle up to 75 deg above the level."""
    result = lab.run([lab.case("large-fan-still-air", droplets=1000)], "S9")[0]
    x, z, speed = result["air/x"], result["air/z"], result["air/air_speed"]
    x = x - 0.5 * (x[0] + x[-1])
    distances = np.arange(1.0, 12.01, 0.25)
    angles = np.radians(np.arange(-5.0, 75.1, 1.0))
    highest = []
    for d in distances:
        px, pz = d * np.cos(angles), FAN_HEIGHT_M + d * np.sin(angles)
        inside = (pz > z[0]) & (pz < z[-1])
        fx, fz = (px - x[0]) / (x[1] - x[0]), (pz - z[0]) / (z[1] - z[0])
        i, k = np.minimum(fx.astype(int), len(x) - 2), np.clip(fz.astype(int), 0, len(z) - 2)
        a, c = fx - i, fz - k
        value = ((1 - c) * ((1 - a) * speed[k, i] + a * speed[k, i + 1])
                 + c * ((1 - a) * speed[k + 1, i] + a * speed[k + 1, i + 1]))
        highest.append(value[inside].max())
    return distances, np.array(highest)


def s9(lab, published):
    check = Check("S9", "Air of a large fan in still air, highest speed at a distance from its centre")
    distances, speed = fan_speeds(lab)
    for d, what in ((2.0, "air 2 m from the fan"), (10.0, "air 10 m from the fan")):
        check.rows.append(published.row("S9", what, float(np.interp(d, distances, speed))))
    return check


def run(lab, only):
    """The checks asked for, in order, and the ensembles of the drift curves for the figure (or None)."""
    published = Published(lab.source)
    curves = drift_curves(lab) if only & {"S1", "S2", "S3"} else None
    checks = []
    for name, make in (("S1", lambda: s1(published, curves)), ("S2", lambda: s2(published, curves)),
                       ("S3", lambda: s3(published, curves)), ("S4", lambda: s4(lab, published)),
                       ("S5", lambda: s5(lab, published)), ("S6", lambda: s6(lab, published)),
                       ("S7", lambda: s7(lab, published)), ("S8", lambda: s8(lab, published)),
                       ("S9", lambda: s9(lab, published)), ("S10", lambda: s10(lab, published)),
                       ("S11", lambda: s11(lab, published)), ("S12", lambda: s12(lab, published))):
        if name in only:
            checks.append(make())
    return checks, curves, published
