"""The field checks S1 to S9: runs, numbers beside published ones, verdicts. No constant of the model was set by them but
where docs/model.md says so. Published numbers and allowed ranges: tests/data/field_checks.csv, basic_drift_values.csv."""
import math
from dataclasses import dataclass, field

import numpy as np

from . import ensembles
from .runs import mean, read_published

FLAT = "orchard.grass_leaf_area_index=0"
BARE = ("canopy.leaf_area_index=0", "canopy.wood_area_index=0.25", "canopy.wood_diameter=12 mm")
LINES = "collectors=[" + ", ".join(
    f"{{kind: line, name: {d} m, distance: {d} m, from: 0.5 m, to: 6 m}}" for d in (5, 26, 52)) + "]"


@dataclass
class Row:
    """A line of a check. low, high: allowed, None: no bound; with neither the line is shown and not judged."""

    what: str
    unit: str
    published: str
    ours: float = math.nan
    error: float = math.nan
    low: float = None
    high: float = None
    why_not: str = ""  # not run: why

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
                said = low if low == high else f"{low} to {high}" if high else f"more than {low}"
                unit = "" if line["unit"] == "1" else line["unit"]
                return Row(what, unit, said, ours, error, _number(line["allowed_low"]), _number(line["allowed_high"]),
                           why_not)
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
                                  error[i], expected[d] / factor(d), expected[d] * factor(d)))
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

def airborne_runs(lab):
    lines = not lab.takes(lab.case("apple-wall-full-leaf", LINES))
    members = ensembles.usual_weather((3,), (0,)) if lab.quick else ensembles.usual_weather()
    cases = ensembles.cases(lab, "apple-wall-full-leaf", members, *((LINES,) if lines else ()))
    return lab.run(cases, "S6"), lines


def s6(lab, published):
    check = Check("S6", "Airborne drift behind the apple wall, winds of 2 to 4 m/s: lines from 0.5 to 6 m of height")
    results, lines = airborne_runs(lab)
    if lines:
        caught = {d: mean(results, lambda r, d=d: r.collector(f"{d} m")) for d in (5, 26, 52)}
        check.rows.append(published.row("S6", "5 m over 26 m", *ratio(caught[5], caught[26])))
        check.rows.append(published.row("S6", "26 m over 52 m", *ratio(caught[26], caught[52])))
        check.rows.append(published.row("S6", "5 m over 52 m", *ratio(caught[5], caught[52])))
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
                       ("S9", lambda: s9(lab, published))):
        if name in only:
            checks.append(make())
    return checks, curves, published
