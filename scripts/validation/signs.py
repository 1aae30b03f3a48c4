"""Published directions: pairs of runs that differ in one thing, with the same random numbers. A direction counts as found
when the change is at least three of its standard errors (which count the runs of a pair as independent: they are not,
so the errors are on the large side)."""
import math
from dataclasses import dataclass

import numpy as np

from . import checks, ensembles
from .runs import mean, read_published

CLEAR = 3.0 # standard errors


@dataclass
class Finding:
    effect: str
    published: str
    pair: str        # what was run
    found: str       # numbers
    sign: str        # right, WRONG, not clear, "" where none is published, or not run/expressible
    size: str        # of the published size: inside, outside or ""
    standing: str


def _pm(pair, digits=3):
    value, error = pair
    if not math.isfinite(error) or error == 0:
        return f"{value:.{digits}g}"
    places = max(0, 1 - math.floor(math.log10(error)))
    return f"{value:.{places}f} ± {error:.{places}f}"


def _sign(before, after, rises):
    change, error = after[0] - before[0], math.hypot(before[1], after[1])
    if not abs(change) >= CLEAR * error: # nor without an error
        return "not clear"
    return "right" if (change > 0) == rises else "WRONG"


def _two(before, after, rises, unit=""):
    """Words and sign for a change from one (value, error) to another."""
    error = math.hypot(before[1], after[1])
    clear = f" ({(after[0] - before[0]) / error:+.0f} s.e.)" if error > 0 else ""
    return f"{_pm(before)} → {_pm(after)}{unit}{clear}", _sign(before, after, rises)


def towards_alley(row_x, x):
    """Distance from the row line towards the sprayed alley of citrus-two-rows.yaml, m, in the two rows beside it; not a
    number elsewhere. Row 3 lies at x = -14 m, row 4 at -21 m, the alley between them."""
    return np.where(abs(row_x + 14) < 0.1, -x, np.where(abs(row_x + 21) < 0.1, x, np.nan))


class Signs:
    def __init__(self, lab, published, curves):
        self.lab = lab
        self.published = published
        self.curves = curves
        self.rows = {line["key"]: line for line in
                     read_published(f"{lab.source}/tests/data/field_sensitivities.csv")}
        self.seeds = (1,) if lab.quick else (1, 2, 3, 4)
        self.found = {}

    def _pair(self, key, scenario, first, second):
        """Results of two lists of settings, or of two (scenario, settings)."""
        sides = [side if len(side) == 2 and isinstance(side[1], tuple) else (scenario, side) for side in (first, second)]
        cases = [self.lab.case(name, *settings, seed=seed) for name, settings in sides for seed in self.seeds]
        results = self.lab.run(cases, f"directions, {key}")
        return results[:len(self.seeds)], results[len(self.seeds):]

    def _put(self, key, pair, found, sign, size=""):
        line = self.rows[key]
        said = line["direction"] + (f": {line['size']}" if line["size"] else "")
        self.found[key] = Finding(line["effect"], said, pair, found, sign, size,
                                  line["standing"])

    def _put_unchanged(self, key, pair, before, after, unit):
        change = 100 * (after[0] / before[0] - 1)
        size = self._inside(key, change)
        self._put(key, f"{pair}; allowed {self.rows[key]['low']} to {self.rows[key]['high']} %",
                  f"{_pm(before)} → {_pm(after)}{unit} ({change:+.1f} %)", "right" if size == "inside" else "WRONG", size)

    def _inside(self, key, value):
        line = self.rows[key]
        low, high = (float(line[name]) if line[name] else default for name, default in
                     (("low", -math.inf), ("high", math.inf)))
        return "inside" if low <= value <= high else "outside"

    # ---- leaves, crops, distance ----
    def leaf_german(self):
        a, error_a = ensembles.percentile_90(self.curves["bare"])
        b, error_b = ensembles.percentile_90(self.curves["leaf"])
        at = [ensembles.DISTANCES_M.index(d) for d in (3, 10, 50)]
        ratios = a[at] / b[at]
        clear = [(a[i] - b[i]) / math.hypot(error_a[i], error_b[i]) for i in at]
        sign = "WRONG" if (ratios < 1).any() else "right" if min(clear) >= CLEAR else "right, not clear at each"
        self._put("leaf_german", "apple wall without and with leaves, ensembles of S2",
                  "ratio " + ", ".join(f"{x:.1f}" for x in ratios), sign)

    def leaf_dutch(self):
        runs = checks.dutch_reference(self.lab)
        strip = checks.beside_row(4.5, 5.5)
        bare, leaf = mean(runs["bare"], strip), mean(runs["leaf"], strip)
        words, sign = _two(bare, leaf, False, " % of the rate")
        over = checks.ratio(bare, leaf)
        self._put("leaf_dutch", "the orchard of S4", f"{words}: ratio {_pm(over)}", sign,
                  self._inside("leaf_dutch", over[0]))

    def vine_or_fruit(self):
        wind = ("weather.wind_speed=3 m/s", checks.FLAT)
        fruit, vine = self._pair("vine_or_fruit", "", ("apple-wall-full-leaf", wind), ("vineyard", wind))
        words, signs = [], []
        for d in (3, 10):
            a, b = mean(fruit, lambda r, d=d: r.ground_at(d)), mean(vine, lambda r, d=d: r.ground_at(d))
            word, sign = _two(a, b, False)
            words.append(f"{d} m: {word}, ratio {b[0] / a[0]:.2f}")
            signs.append(sign)
        sign = next((s for s in ("WRONG", "not clear") if s in signs), "right")
        self._put("vine_or_fruit", "apple wall and vineyard, 3 m/s", "; ".join(words), sign)

    def vine_stage(self):
        early = ("canopy.height=1.3 m", "canopy.leaf_area_index=0.3", "sprayer.fan.speed=250 rpm",
                 "sprayer.nozzles=[{tip: fine cone, offset: 0.42 m, height: 0.55 m, angle: 10 deg}, "
                 "{tip: fine cone, offset: 0.42 m, height: 0.9 m, angle: 5 deg}, "
                 "{tip: fine cone, offset: 0.42 m, height: 1.25 m, angle: 0 deg}]")
        a, b = self._pair("vine_stage", "vineyard", (checks.FLAT, *early), (checks.FLAT,))
        words, sign = _two(mean(a, lambda r: r.ground_at(3)), mean(b, lambda r: r.ground_at(3)), True, " % of the rate")
        self._put("vine_stage", "vineyard: young shoots to 1.3 m, leaf area index 0.3, three tips a side, 250 rpm; "
                  "then as it is", words, sign)

    def distance(self):
        distances = np.array(ensembles.DISTANCES_M, float)
        curve = np.percentile(self.curves["leaf"], 90, axis=0)
        near, far = (checks.exponent(distances[at], curve[at]) for at in (distances <= 10, distances >= 15))
        self._put("distance", "ensemble of S1, full leaf", f"exponent {near:.2f} near, {far:.2f} far",
                  "right" if far < near < 0 else "WRONG")

    # ---- tips, air and side: the Dutch orchard ----
    def dutch(self):
        reference, measures = checks.dutch_reference(self.lab)["bare"], checks.dutch_measures(self.lab)
        strip, wide = checks.beside_row(4.5, 5.5), checks.beside_row(3, 7)
        for key, name in (("coarse_low_air", "low air"), ("coarse_no_air", "no air"), ("coarse_one_side", "one side")):
            runs = measures[name]
            if isinstance(runs, str):
                self._put(key, "the orchard of S5", "", "not run: " + runs)
                continue
            words, sign = _two(mean(reference, strip), mean(runs, strip), False)
            fewer = checks.less(mean(reference, strip), mean(runs, strip))
            wider = checks.less(mean(reference, wide), mean(runs, wide))
            words += f": {_pm(fewer)} % ({_pm(wider)} %) less"
            if key == "coarse_low_air":
                size = self._inside(key, fewer[0])
                self._put(key, "the orchard of S5", words, "right" if size == "inside" else "WRONG", size)
            else:
                self._put(key, "the orchard of S5", words, sign)
        runs = measures["full air"]
        nearer = [checks.ratio(mean(r, wide), mean(r, strip)) for r in (reference, runs)]
        words, sign = _two(*nearer, True)
        self._put("coarse_nearer", "the bare orchard of S5, full air", words, sign)

    # ---- rows in the way ----
    def barrier(self):
        """Eight rows sprayed from the alleys inside, without and with one more row, not sprayed, on the lee side.
        Drift through the same place: 8.5 m from the last sprayed row's edge without, 5 m from the barrier's with."""
        few, more = checks.FEW_ROWS, checks.ONE_MORE
        air = {}
        for name, bare in (("full leaf", ()), ("bare", checks.BARE)):
            a, b = self._pair("barrier, " + name, "apple-wall-full-leaf", (checks.FLAT, *bare, *few),
                              (checks.FLAT, *bare, *more))
            # of the output; the nine rows emit as much as the eight
            air[name] = (mean(a, lambda r: r.fate("air_downwind")), mean(b, lambda r: r.fate("air_downwind")))
            ground = (mean(a, lambda r: r.ground_beyond(8.5)), mean(b, lambda r: r.ground_beyond(5)))
            words, sign = _two(*ground, False)
            fewer = checks.less(*ground)
            air[name + " ground"] = (f"{name}: {words}, {_pm(fewer)} % less", sign)
        both = [air["full leaf ground"], air["bare ground"]]
        sign = next((s for s in ("WRONG", "not clear") if s in [x[1] for x in both]), "right")
        self._put("windbreak", "one more row like the others, not sprayed, on the lee side: ground beyond it, % of the "
                  "output (a taller windbreak cannot be set)", "; ".join(x[0] for x in both), sign)
        words, sign = _two(*air["full leaf"], False)
        self._put("barrier", "the same in full leaf: airborne out of the domain, % of the output",
                  f"{words}: {_pm(checks.less(*air['full leaf']))} % less", sign)

    # ---- wind ----
    def wind(self):
        lines = checks.wind_runs(self.lab)
        words, signs = [], []
        for d in (5, 52):
            slope, spread = checks.slope_of_log(lines, lambda r, d=d: r.collector(f"{d} m"))
            words.append(f"{d} m: {_pm((slope, spread))} log units per m/s")
            signs.append("not clear" if abs(slope) < CLEAR * spread else "right" if slope > 0 else "WRONG")
        sign = next((s for s in ("WRONG", "not clear") if s in signs), "right")
        self._put("wind_airborne", f"apple wall, winds of {min(lines)} to {max(lines)} m/s, lines of 0.5 to 6 m", "; ".join(words),
                  sign)
        winds = (2, 4) if self.lab.quick else (1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5)
        cases = [self.lab.case("apple-wall-full-leaf", f"weather.wind_speed={w} m/s", seed=seed)
                 for w in winds for seed in self.seeds[:2]]
        runs = self.lab.run(cases, "directions, wind")
        each = len(self.seeds[:2])
        by_wind = {w: runs[i * each:(i + 1) * each] for i, w in enumerate(winds)}
        low = [r for w in winds if w < 3 for r in by_wind[w]]
        high = [r for w in winds if w > 4.4 or (self.lab.quick and w >= 4) for r in by_wind[w]]
        words, sign = _two(mean(low, lambda r: r.ground_beyond(50)), mean(high, lambda r: r.ground_beyond(50)), True,
                           " % of the output")
        self._put("wind_ground", "the same: winds below 3 and of 4.5 and 5 m/s", words, sign)
        usual = [r for w in winds if 2.5 <= w <= 4 for r in by_wind[w]]
        self._by_height(usual)
        ground = checks.ratio(mean(usual, lambda r: r.ground_at(5)), mean(usual, lambda r: r.ground_at(50)))
        flux = checks.ratio(mean(usual, lambda r: r.flux(5.0)), mean(usual, lambda r: r.flux(50.0)))
        words, sign = _two(flux, ground, True)
        self._put("ground_or_air", "the same: 5 m over 50 m, of the airborne flux → of the ground deposit", words, sign)

    def _by_height(self, runs):
        """Slope of the logarithm with height, 5 m out: on a line where there are virtual collectors, else of the
        flux through the upright plane."""
        if not self.lab.takes(self.lab.case("apple-wall-full-leaf", checks.LINES)):
            runs = checks.airborne_runs(self.lab)[0]
            each = [r.collector_parts("5 m") for r in runs]
            what = "apple wall, winds of 2 to 4 m/s, line 5 m out"
        else:
            each = [(r["airborne/z"], r["airborne/net_flux"][0], r["airborne/net_flux_standard_error"][0]) for r in runs]
            what = "apple wall, flux 5 m out"
        z, value = each[0][0], np.mean([e[1] for e in each], axis=0)
        error = np.sqrt(np.sum([e[2] ** 2 for e in each], axis=0)) / len(each)
        slopes = []
        for high_m in (4.0, 6.0):
            at = (z > 0.5) & (z < high_m) & (value > 0)
            x, y, relative = z[at] - z[at].mean(), np.log(value[at]), (error[at] / value[at])
            slopes.append(((x * y).sum() / (x * x).sum(), math.sqrt((x * x * relative ** 2).sum()) / (x * x).sum()))
        slope, spread = slopes[0]
        self._put("height_airborne", what + ", 0.5 to 4 m of height (to 6 m); trees of 3.5 m",
                  f"{_pm(slopes[0])} ({_pm(slopes[1])}) log units per m",
                  "not clear" if abs(slope) < CLEAR * spread else "right" if slope > 0 else "WRONG")

    # ---- in the trees ----
    @staticmethod
    def _on_leaves(result):
        return result.fate("leaf")

    @staticmethod
    def _chosen(result, choose):
        """Voxels (summed along the row) that choose(row, z, x) marks: deposit, share of the output; leaf area, m2."""
        at = choose(*np.meshgrid(result["canopy/row_x"], result["canopy/z"], result["canopy/x"], indexing="ij"))
        return result["canopy/deposit"][at].sum(), result["canopy/leaf_area"][at].sum()

    @staticmethod
    def _over_seeds(values):
        """Mean and its standard error by the scatter between seeds, which holds that of the trees."""
        return float(np.mean(values)), np.std(values, ddof=1) / math.sqrt(len(values)) if len(values) > 1 else math.nan

    def _amount(self, results, choose):
        """Deposit on the chosen leaves, percent of the output."""
        return self._over_seeds([100 * self._chosen(r, choose)[0] for r in results])

    def depth(self):
        """Two rows sprayed from between: leaves within 1 m of the alley's side, and deeper than 3 m of the 5 m."""
        runs, big = self._pair("depth", "", ("citrus-two-rows", ()), ("tall-globe-orchard", ()))
        near = checks.density(runs, lambda row, z, x: towards_alley(row, x) > 1.5)
        deep = checks.density(runs, lambda row, z, x: towards_alley(row, x) < -0.5)
        words, sign = _two(near, deep, False)
        over = checks.outer_over_inner(big)
        self._put("depth", "citrus from one side: leaf deposit within 1 m and deeper than 3 m, over the mean; and tall "
                  "round apple trees from both sides, outer over inner",
                  f"citrus {words}: ratio {_pm(checks.ratio(near, deep))}; apple {_pm(over)}", sign,
                  "apple " + self._inside("depth", over[0]))

    def height(self):
        runs, _ = self._pair("height", "tall-trees", (), ())
        bands = [checks.density(runs, lambda row, z, x, a=a, b=b: (z > a) & (z < b))
                 for a, b in ((4, 6), (8, 10), (10, 12))]
        words, sign = _two(bands[0], bands[2], False)
        self._put("height", "nut trees of 12 m (the tallest a scenario has): leaf deposit over the mean",
                  f"{words}; 8 to 10 m: {_pm(bands[1])}", sign)

    def less_air_citrus(self):
        a, b = self._pair("less air, citrus", "citrus-two-rows", (), ("sprayer.fan.speed=360 rpm",))
        self._put_unchanged("less_air_citrus_mean", "citrus of S7, fan 540 → 360 rpm", mean(a, self._on_leaves),
                            mean(b, self._on_leaves), " % of the output")
        deep = [self._amount(r, lambda row, z, x: towards_alley(row, x) < 0.5) for r in (a, b)]
        words, sign = _two(*deep, False, " % of the output")
        self._put("less_air_citrus_deep", "the same, on leaves deeper than 2 m of 5 m", words, sign)

    def speed_tops(self):
        tall = ("canopy.height=7 m",)
        a, b = self._pair("speed_tops", "tall-globe-orchard", (*tall, "sprayer.travel_speed=2.7 km/h"),
                          (*tall, "sprayer.travel_speed=5.3 km/h"))
        tops = [self._amount(r, lambda row, z, x: (z > 5.5) & (z < 6.5)) for r in (a, b)]
        words, sign = _two(*tops, False, " % of the output")
        self._put("speed_tops", "tall globes, 7 m: on leaves between 5.5 and 6.5 m", words, sign)

    def night(self):
        a, b = self._pair("night", "apple-wall-full-leaf",
                          ("weather.temperature=32 degC", "weather.relative_humidity=30 %"),
                          ("weather.temperature=14 degC", "weather.relative_humidity=90 %"))
        words, sign = _two(mean(a, self._on_leaves), mean(b, self._on_leaves), True, " % of the output")
        self._put("night", "apple wall, 32 degC and 30 % → 14 degC and 90 %, same wind", words, sign)

    def wet_leaves(self):
        """Dew on all leaves: no droplet bounces, and two thirds of what a leaf holds are taken (choice)."""
        wet = ("canopy.wet_share=100 %", "canopy.retention=0.05 L/m2")
        why_not = self.lab.takes(self.lab.case("vine-axial", *wet))
        if why_not:
            self._put("wet_leaves", "", "", "not run: needs canopy.wet_share and canopy.retention")
            return
        a, b = self._pair("wet_leaves", "vine-axial", (), wet)
        words, sign = _two(mean(a, self._on_leaves), mean(b, self._on_leaves), False, " % of the output")
        self._put("wet_leaves", "vines of S8 at 1355 L/ha: dry → wet leaves that hold 0.05 instead of 0.15 L/m2 more",
                  words, sign)

    def less_air_apple(self):
        wide = "sprayer.outlets=[{kind: arc, centre_height: 0.95 m, radius: 0.45 m, from: -10 deg, to: 62 deg, " \
               "slot: 200 mm}]"
        a, b = self._pair("less air, apple", "apple-wall-full-leaf",
                          (checks.FLAT, wide, "sprayer.fan.reference_flow=7.5 m3/s"),
                          (checks.FLAT, wide, "sprayer.fan.reference_flow=4 m3/s"))
        words, sign = _two(mean(a, lambda r: r.ground_beyond(5)), mean(b, lambda r: r.ground_beyond(5)), False,
                           " % of the output")
        total = _two(mean(a, lambda r: r.drift_sum(5)), mean(b, lambda r: r.drift_sum(5)), False)[0]
        self._put("less_air_apple_drift", "apple wall, outlet of 200 mm, 7.5 → 4 m3/s: on the ground beyond 5 m",
                  f"{words}; with what leaves in the air {total}", sign)
        self._put_unchanged("less_air_apple_leaf", "the same, on leaves", mean(a, self._on_leaves),
                            mean(b, self._on_leaves), " % of the output")

    def target_share(self):
        runs, _ = self._pair("target_share", "citrus-two-rows", ("sprayer.alleys=all",), ("sprayer.alleys=all",))
        self._put("target_share", "the grove of S7, every alley driven",
                  f"{_pm(mean(runs, lambda r: r.canopy()))} % on leaves and wood", "")


STUDIES = ("leaf_german", "leaf_dutch", "vine_or_fruit", "vine_stage", "distance", "dutch", "barrier", "wind", "depth",
           "height", "less_air_citrus", "speed_tops", "night", "wet_leaves", "less_air_apple", "target_share")


def run(lab, published, curves):
    """Findings in the order of tests/data/field_sensitivities.csv."""
    signs = Signs(lab, published, curves)
    for name in STUDIES:
        getattr(signs, name)()
    missing = set(signs.rows) - set(signs.found)
    assert not missing, missing
    return [signs.found[key] for key in signs.rows]
