"""What moves the numbers that lie outside: one input at a time of the bare cross-flow orchard (S4, S5) and of the apple wall
with lines (S6), inside what the trials leave open. Shown to explain; nothing is judged or chosen by it."""
from . import checks
from .runs import mean

BARE = checks.DUTCH_BARE
ORCHARD = [ # words, scenario, settings
    ("fine, bare, as in S4 at 3 m/s", "cross-flow-orchard", BARE),
    ("wind 1.5 m/s", "cross-flow-orchard", BARE + ("weather.wind_speed=1.5 m/s",)),
    ("3 m/s measured at 2 m", "cross-flow-orchard", BARE + ("weather.wind_height=2 m",)),
    ("wood area index 0.4 instead of 0.2", "cross-flow-orchard", BARE + ("canopy.wood_area_index=0.4",)),
    ("first leaves, leaf area index 0.3", "cross-flow-orchard", ("canopy.leaf_area_index=0.3",)),
    ("fan 360 instead of 540 rpm", "cross-flow-orchard", BARE + ("sprayer.fan.speed=360 rpm",)),
    ("fan off", "cross-flow-orchard", BARE + ("sprayer.fan.speed=0 rpm",)),
    ("coarse, fan off", "cross-flow-orchard-coarse", BARE + ("sprayer.fan.speed=0 rpm",)),
    ("coarse, fan off, wind 1.5 m/s", "cross-flow-orchard-coarse",
     BARE + ("sprayer.fan.speed=0 rpm", "weather.wind_speed=1.5 m/s")),
]
AIRBORNE = [
    ("as in S6 at 3 m/s", "apple-wall-full-leaf", ()),
    ("95 % of humidity instead of 60", "apple-wall-full-leaf", ("weather.relative_humidity=95 %",)),
    ("5 % that does not evaporate instead of 0.5", "apple-wall-full-leaf", ("liquid.nonvolatile=5 %",)),
    ("coarse air-induction tips", "apple-wall-air-induction", ()),
    ("only the first alley inside the block sprayed", "apple-wall-full-leaf", ("sprayer.alleys=[1]",)),
    ("wind 60 deg off", "apple-wall-full-leaf", ("weather.wind_angle=60 deg",)),
    ("no leaves", "apple-wall-full-leaf", checks.BARE),
]


def airborne(lab):
    """[(words, 5 m over 26 m, 26 m over 52 m, airborne downwind)] on lines, or None without virtual collectors."""
    if lab.takes(lab.case("apple-wall-full-leaf", checks.LINES)):
        return None
    seeds = (1,) if lab.quick else (1, 2, 3, 4)
    runs = lab.run([lab.case(scenario, checks.LINES, *settings, seed=seed) for _, scenario, settings in AIRBORNE
                    for seed in seeds], "reasons, airborne")
    found = []
    for i, (words, _, _) in enumerate(AIRBORNE):
        mine = runs[i * len(seeds):(i + 1) * len(seeds)]
        caught = [mean(mine, lambda r, d=d: r.collector(f"{d} m")) for d in (5, 26, 52)]
        found.append((words, checks.ratio(caught[0], caught[1]), checks.ratio(caught[1], caught[2]),
                      mean(mine, lambda r: r.fate("air_downwind"))))
    return found


def study(lab):
    """[(words, strip 4.5 to 5.5 m in percent of the rate, on the trees, airborne downwind in percent of the output)]"""
    seeds = (1,) if lab.quick else (1, 2, 3, 4)
    strip = checks.beside_row(4.5, 5.5)
    runs = lab.run([lab.case(scenario, *settings, seed=seed) for _, scenario, settings in ORCHARD for seed in seeds],
                   "reasons")
    found = []
    for i, (words, _, _) in enumerate(ORCHARD):
        mine = runs[i * len(seeds):(i + 1) * len(seeds)]
        found.append((words, mean(mine, strip), mean(mine, lambda r: r.canopy()),
                      mean(mine, lambda r: r.fate("air_downwind"))))
    return found
