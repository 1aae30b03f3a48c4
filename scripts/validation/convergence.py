"""How fates depend on the length of the droplets' steps, the voxels, the air grid and the number of droplets."""
import numpy as np

# A knob: its key, the shipped value, half, double, and more points of the curve.
KNOBS = [
    ("length of the droplets' steps", "run.step", "", (0.25, 0.5, 1.0, 2.0)),
    ("voxel edge", "canopy.voxel", "m", (0.1, 0.2, 0.4)),
    ("cell of the air grid", "run.air_cell", "m", (0.1, 0.2, 0.4)),
]
USUAL = {"run.step": 1.0, "canopy.voxel": 0.2, "run.air_cell": 0.2}
COUNTS = (12500, 25000, 50000, 100000, 200000, 400000, 800000)
USUAL_COUNT = 200000
SEEDS = 8
NUMBERS = {
    "canopy": ("on leaves and wood", lambda r: r.canopy()),
    "drift": ("beyond 5 m", lambda r: r.drift_sum(5.0)),
    "ground": ("of it on the ground", lambda r: r.ground_beyond(5.0)),
}


def _change(results, usual, number):
    """Mean of a number over seeds relative to that of the usual setting, percent, and its standard error. Pairs of the
    same seed have the same trees and the same droplets as emitted; the scatter of the pairs holds all that differs."""
    a = np.array([number(r)[0] for r in results])
    b = np.array([number(r)[0] for r in usual])
    difference = a - b
    error = difference.std(ddof=1) / np.sqrt(len(difference)) if len(difference) > 1 else np.nan
    return 100 * difference.mean() / b.mean(), 100 * error / b.mean()


def study(lab, scenario="apple-wall-full-leaf"):
    """Returns {key: [(value, {number: (change percent, error)})]} and {count: {number: (value, error)}}."""
    seeds = range(1, 3 if lab.quick else SEEDS + 1)
    knobs = {}
    for _, key, unit, values in KNOBS:
        if lab.quick:
            values = [v for v in values if v >= USUAL[key]]
        runs = {}
        for value in values:
            setting = () if value == USUAL[key] else (f"{key}={value:g} {unit}".strip(),)
            runs[value] = [lab.case(scenario, *setting, seed=seed, droplets=100000) for seed in seeds]
        results = lab.run([case for value in values for case in runs[value]], f"convergence, {key}")
        by_value = {value: results[i * len(seeds):(i + 1) * len(seeds)] for i, value in enumerate(values)}
        knobs[key] = [(value, {name: _change(by_value[value], by_value[USUAL[key]], number)
                               for name, (_, number) in NUMBERS.items()}) for value in values]
    counts = {}
    for result in lab.run([lab.case(scenario, droplets=n) for n in (COUNTS[:2] if lab.quick else COUNTS)],
                          "convergence, run.droplets"):
        counts[result.case.droplets] = {name: number(result) for name, (_, number) in NUMBERS.items()}
    return knobs, counts
