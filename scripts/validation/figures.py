"""Figures of docs/validation.md. The same numbers give the same bytes: fixed ids, no date, text as text."""
import os

import matplotlib

matplotlib.use("svg")
import matplotlib.pyplot as plt
import numpy as np

from . import convergence, ensembles

BLUE, ORANGE, GREY, GREEN = "#2f6db3", "#c8641e", "#6b6b6b", "#3b8a4b"
plt.rcParams.update({"svg.hashsalt": "drupelet", "svg.fonttype": "none", "font.family": "sans-serif", "font.size": 9,
                     "axes.spines.top": False, "axes.spines.right": False, "axes.grid": True, "grid.color": "#e6e6e6",
                     "grid.linewidth": 0.6, "axes.axisbelow": True, "legend.frameon": False})


def _save(figure, path):
    figure.savefig(path, format="svg", metadata={"Date": None, "Creator": None})
    plt.close(figure)


def drift_curves(path, curves, published):
    figure, both = plt.subplots(1, 2, figsize=(8.6, 3.9), sharey=True, layout="constrained")
    distances = np.array(ensembles.DISTANCES_M, float)
    for axes, stage, series, title in ((both[0], "fruit_late", "leaf", "Full leaf"),
                                       (both[1], "fruit_early", "dormant", "Without leaves, fan in its winter gear")):
        if series not in curves:
            continue
        expected = published.drift(stage)
        far = sorted(expected)
        axes.fill_between(far, [expected[d] / (2 if d <= 30 else 3) for d in far],
                          [expected[d] * (2 if d <= 30 else 3) for d in far], color=GREY, alpha=0.15, linewidth=0,
                          label="allowed")
        axes.plot(far, [expected[d] for d in far], "o", color=GREY, label="trials, 90th percentile")
        for member in curves[series]:
            axes.plot(distances, member, color=BLUE, alpha=0.18, linewidth=0.6)
        value, error = ensembles.percentile_90(curves[series])
        axes.errorbar(distances, value, error, color=BLUE, marker="s", markersize=4, label="runs, 90th percentile")
        axes.plot(distances, np.median(curves[series], axis=0), "--", color=BLUE, label="runs, median")
        axes.set(xscale="log", yscale="log", xlim=(2.5, 110), ylim=(0.01, 60), title=title,
                 xlabel="distance from the treated area, m")
        axes.set_xticks([3, 5, 10, 20, 50, 100], ["3", "5", "10", "20", "50", "100"])
        axes.set_xticks([], minor=True)
        axes.set_yticks([0.01, 0.1, 1, 10], ["0.01", "0.1", "1", "10"])
    both[0].set_ylabel("ground deposit, percent of the rate")
    both[0].legend(loc="lower left")
    _save(figure, path)


def jet(path, distances, speed):
    figure, axes = plt.subplots(figsize=(4.6, 3.4), layout="constrained")
    axes.plot(distances, speed, color=BLUE, label="run")
    axes.errorbar([2], [26], [[26 - 26 / 1.5], [26 * 0.5]], fmt="o", color=GREY, label="published, allowed range")
    axes.errorbar([10], [3], [[3 - 2 / 1.5], [6 - 3]], fmt="o", color=GREY)
    axes.set(xlabel="distance from the fan's centre, m", ylabel="highest air speed, m/s", ylim=(0, None))
    axes.legend()
    _save(figure, path)


def overview(path, checks):
    """Each judged number inside its allowed range, drawn on a scale where that range is 0 to 1."""
    rows = [(check, row) for check in checks for row in check.rows
            if row.verdict in ("pass", "FAIL") and row.low is not None and row.high is not None]
    if not rows:
        return
    figure, axes = plt.subplots(figsize=(8.2, 0.7 + 0.21 * len(rows)), layout="constrained")
    axes.axvspan(0, 1, color=GREY, alpha=0.12, linewidth=0)
    for i, (check, row) in enumerate(rows):
        logs = row.low > 0 and row.ours > 0
        scale = np.log if logs else (lambda v: v)
        at = (scale(row.ours) - scale(row.low)) / (scale(row.high) - scale(row.low))
        held = min(max(at, -0.6), 1.6)
        axes.plot([held], [-i], marker="o" if held == at else ("<" if at < 0 else ">"), markersize=5,
                  color=GREEN if row.verdict == "pass" else ORANGE)
    axes.set_yticks([-i for i in range(len(rows))], [f"{check.name}  {row.what}" for check, row in rows], fontsize=7.5)
    axes.set_xticks([0, 1], ["lowest allowed", "highest allowed"])
    axes.set_xlim(-0.7, 1.7)
    axes.set_ylim(-len(rows) + 0.5, 0.5)
    axes.grid(False)
    _save(figure, path)


def convergence_panels(path, knobs, counts):
    figure, panels = plt.subplots(2, 2, figsize=(8.2, 5.6), layout="constrained")
    series = (("canopy", "on leaves and wood", GREEN, "o"), ("drift", "drift beyond 5 m", ORANGE, "s"),
              ("ground", "of it on the ground", BLUE, "^"))
    for axes, (words, key, unit, _) in zip(panels.flat, convergence.KNOBS):
        axes.axhspan(-2, 2, color=GREY, alpha=0.12, linewidth=0)
        for name, label, colour, marker in series:
            axes.errorbar([v for v, _ in knobs[key]], [n[name][0] for _, n in knobs[key]],
                          [n[name][1] for _, n in knobs[key]], color=colour, marker=marker, markersize=4, label=label)
        values = [v for v, _ in knobs[key]]
        axes.set(xscale="log", title=words, xlabel=f"{key}{', ' + unit if unit else ''}",
                 ylabel="change from the default, %")
        axes.set_xticks(values, [f"{v:g}" for v in values])
        axes.set_xticks([], minor=True)
    axes = panels.flat[3]
    axes.axhspan(-2, 2, color=GREY, alpha=0.12, linewidth=0)
    last = counts[max(counts)]
    for name, label, colour, marker in series:
        n = sorted(counts)
        axes.errorbar(n, [100 * (counts[k][name][0] / last[name][0] - 1) for k in n],
                      [100 * counts[k][name][1] / last[name][0] for k in n], color=colour, marker=marker, markersize=4,
                      label=label)
    axes.axvline(convergence.USUAL_COUNT, color=GREY, linewidth=0.8, linestyle=":")
    axes.set(xscale="log", title="number of droplets", xlabel="run.droplets (dotted: default)",
             ylabel="from the largest run, %")
    panels.flat[0].legend()
    _save(figure, path)


def draw(folder, checks, curves, published, knobs, jet_speeds):
    """Draws what there are numbers for; returns the names of the files."""
    os.makedirs(folder, exist_ok=True)
    made = []

    def to(name):
        made.append(name)
        return os.path.join(folder, name)

    if curves:
        drift_curves(to("validation-drift.svg"), curves, published)
    if checks:
        overview(to("validation-checks.svg"), checks)
    if jet_speeds:
        jet(to("validation-jet.svg"), *jet_speeds)
    if knobs:
        convergence_panels(to("validation-convergence.svg"), *knobs)
    return made
