"""Runs of the program, several at a time, with what a study needs of each kept in a folder of work.

A run is known by the program's bytes, the scenario's text, the settings, the number of droplets and the seed; a run that
is known is not made again. Each process has one thread: the result does not depend on it, and a run's serial parts
then cost nothing."""
import hashlib
import json
import os
import re
import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor, as_completed
from dataclasses import dataclass

import h5py
import numpy as np

EXTRACT = 3  # rises when take() changes what it keeps
FATES = ("leaf", "wood", "ground_alley", "ground_row", "ground_downwind", "ground_upwind", "air_downwind", "air_above",
         "air_upwind", "aloft") # in the order of the file


@dataclass(frozen=True)
class Case:
    """One run: a scenario file, settings as of --set, droplets (0: the study's usual number) and a seed."""

    scenario: str
    settings: tuple = ()
    seed: int = 1
    droplets: int = 0

    def but(self, *settings, **other):
        """The same with more settings; a later one of a key counts."""
        values = {"scenario": self.scenario, "settings": self.settings + settings, "seed": self.seed,
                  "droplets": self.droplets}
        values.update(other)
        return Case(**values)

    def unique_settings(self):
        last = {}
        for setting in self.settings:
            last[setting.split("=", 1)[0]] = setting
        return tuple(last.values())


class Failed(Exception):
    """A run that the program refused or did not finish."""


def take(path):
    """What studies use of a result file."""
    kept = {}

    def keep(group, *names):
        for name in names:
            if f"{group}/{name}" in file:
                data = file[f"{group}/{name}"][()]
                kept[f"{group}/{name}"] = data if np.asarray(data).dtype.kind in "fiu" else np.array(
                    [str(x, "utf-8") if isinstance(x, bytes) else str(x) for x in np.atleast_1d(data)])

    with h5py.File(path, "r") as file:
        kept["n_droplets"] = file.attrs["n_droplets"]
        kept["n_steps"] = file.attrs["n_steps"]
        keep("fates", "label", "active_ingredient", "active_ingredient_standard_error", "evaporated")
        keep("ground", "distance", "percent_of_rate", "percent_of_rate_standard_error", "percent_of_output",
             "percent_of_output_standard_error", "strip_width")
        keep("airborne", "plane", "z", "net_flux", "net_flux_standard_error", "net_flux_all_heights",
             "net_flux_all_heights_standard_error")
        keep("canopy", "row_deposit", "row_deposit_standard_error", "leaf_side_deposit", "row_x", "x", "z")
        keep("air", "air_speed", "x", "z")
        keep("sprayer", "application_rate", "fan_flow")
        if "canopy/leaf_deposit" in file:  # sums along the row: [row, z, x]
            voxel = file["canopy/voxel_edge"][()] ** 2 * file["canopy/voxel_edge_along"][()]
            kept["canopy/deposit"] = file["canopy/leaf_deposit"][()].sum(axis=2, dtype=float)
            kept["canopy/leaf_area"] = file["canopy/leaf_area_density"][()].sum(axis=2, dtype=float) * voxel
        if "collectors" in file:
            keep("collectors", *[name for name in file["collectors"] if isinstance(file["collectors"][name],
                                                                                 h5py.Dataset)])
    return kept


def passing_paths(path, distance_m):
    """The paths of a result that reach a distance downwind of the block (Lab.passing)."""
    with h5py.File(path, "r") as file:
        tracks = {name: file["tracks"][name][()] for name in ("row_size", "weight", "alley", "emitted_diameter", "x", "z",
                                                              "diameter")}
        downwind = float(file["ground/downwind"][()])
        edge = float(file["ground/block_high_x" if downwind > 0 else "ground/block_low_x"][()])
    ends = np.cumsum(tracks["row_size"])
    weight = tracks["weight"] / tracks["weight"].sum()
    found = []
    for i, (end, size) in enumerate(zip(ends, tracks["row_size"])):
        beyond = np.nonzero(downwind * (tracks["x"][end - size:end] - edge) > distance_m)[0]
        if len(beyond):
            at = end - size + beyond[0]
            found.append([float(value) for value in (weight[i], tracks["alley"][i], tracks["emitted_diameter"][i],
                                                     tracks["diameter"][at], tracks["z"][at])])
    return found


class Result:
    """Numbers of one run, most as (value, standard error)."""

    def __init__(self, case, kept):
        self.case = case
        self.kept = kept
        assert len(kept["fates/active_ingredient"]) == len(FATES), "the result has other fates"

    def __getitem__(self, name):
        return self.kept[name]

    def __contains__(self, name):
        return name in self.kept

    def fate(self, *labels):
        """Share of the output, percent: sum of fates by the names of docs/result-format.md."""
        at = [FATES.index(label) for label in labels]
        share = self["fates/active_ingredient"][at]
        return 100 * share.sum(), 100 * np.sqrt((self["fates/active_ingredient_standard_error"][at] ** 2).sum())

    def canopy(self):
        """On leaves and wood, percent of the output."""
        return self.fate("leaf", "wood")

    def _weights(self, low_m, high_m):
        half = 0.5 * float(self["ground/strip_width"])
        distance = self["ground/distance"]
        return np.clip(np.minimum(distance + half, high_m) - np.maximum(distance - half, low_m), 0, None) / (2 * half)

    def ground(self, low_m, high_m):
        """Mean deposit between two distances from the treated area, percent of the rate."""
        weight = self._weights(low_m, high_m)
        weight = weight / weight.sum()
        return ((weight * self["ground/percent_of_rate"]).sum(),
                np.sqrt(((weight * self["ground/percent_of_rate_standard_error"]) ** 2).sum()))

    def ground_at(self, distance_m):
        """Deposit at a distance, percent of the rate: mean over a fifth of the distance, 1 m or more: over so much
        a power law of exponent -2 rises by 1 %."""
        half = max(0.5, 0.1 * distance_m)
        return self.ground(distance_m - half, distance_m + half)

    def ground_beyond(self, distance_m):
        """On the ground beyond a distance, percent of the output."""
        weight = self._weights(distance_m, np.inf)
        return ((weight * self["ground/percent_of_output"]).sum(),
                np.sqrt(((weight * self["ground/percent_of_output_standard_error"]) ** 2).sum()))

    def drift_sum(self, distance_m):
        """On the ground beyond a distance or airborne out downwind, percent of the output."""
        ground, air = self.ground_beyond(distance_m), self.fate("air_downwind")
        return ground[0] + air[0], np.hypot(ground[1], air[1])

    def collector(self, name):
        """Caught by a virtual collector, percent of the rate on its area."""
        i = list(self["collectors/collector"]).index(name)
        return (float(self["collectors/percent_of_rate"][i]),
                float(self["collectors/percent_of_rate_standard_error"][i]))

    def collector_parts(self, name):
        """Pieces of a line: height of their middle, m, and caught, percent of the rate, with standard errors."""
        at = self["collectors/part_collector"] == 1 + list(self["collectors/collector"]).index(name)
        return (0.5 * (self["collectors/part_low"] + self["collectors/part_high"])[at],
                self["collectors/part_percent_of_rate"][at],
                self["collectors/part_percent_of_rate_standard_error"][at])

    def flux(self, plane_m, low_m=0.0, high_m=np.inf):
        """Through the upright plane at a distance, between two heights, percent of the output."""
        p = int(np.argmin(abs(self["airborne/plane"] - plane_m)))
        if abs(self["airborne/plane"][p] - plane_m) > 0.5:
            raise KeyError(f"no plane at {plane_m} m")
        z = self["airborne/z"]
        dz = z[1] - z[0]
        at = (z > low_m) & (z < high_m)
        return (dz * self["airborne/net_flux"][p][at].sum(),
                dz * np.sqrt((self["airborne/net_flux_standard_error"][p][at] ** 2).sum()))


def mean(results, number):
    """Mean over runs of number(result) = (value, standard error): value and its error by the sampling of droplets."""
    pairs = [number(result) for result in results]
    values = np.array([pair[0] for pair in pairs], float)
    errors = np.array([pair[1] for pair in pairs], float)
    return values.mean(), np.sqrt((errors ** 2).sum()) / len(pairs)


class Lab:
    """The program, its scenarios, and the folder of work."""

    def __init__(self, program, source, work, droplets, workers, quick):
        self.program = os.path.abspath(program)
        self.source = source
        self.work = work
        self.droplets = droplets
        self.workers = workers
        self.quick = quick
        self.settings = ()  # of every run, beside those of its case
        self.made = self.known = 0
        os.makedirs(work, exist_ok=True)
        with open(self.program, "rb") as file:
            self.identity = hashlib.sha256(file.read()).hexdigest()
        said = subprocess.run([self.program, "--version"], capture_output=True, text=True, check=True).stdout.split()
        self.version = said[-1]
        self._spoken = threading.Lock()
        self._verify = None

    def scenario(self, name):
        """Path of a scenario of tests/validation/ or scenarios/."""
        for folder in ("tests/validation", "scenarios"):
            path = os.path.join(self.source, folder, name + ".yaml")
            if os.path.exists(path):
                return path
        raise Failed(f"no scenario {name}")

    def case(self, name, *settings, **other):
        return Case(self.scenario(name), tuple(settings), **other)

    def takes(self, case):
        """Whether the program knows all keys of a case; otherwise its message. For keys that a version may lack."""
        command = [self.program, "settings", case.scenario]
        for setting in case.unique_settings():
            command += ["--set", setting]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        return "" if done.returncode == 0 else done.stderr.strip().splitlines()[-1]

    def verified(self, what):
        """The model's value of a line of drupelet verify."""
        if self._verify is None:
            self._verify = subprocess.run([self.program, "verify"], capture_output=True, text=True, check=False).stdout
        found = re.search(r"^  " + re.escape(what) + r" +\[\d+\] \S+ +(\S+) +(\S+)", self._verify, re.M)
        if not found:
            raise Failed(f"drupelet verify has no line {what}")
        return float(found[2])

    def _settings(self, case):
        return (*self.settings, *case.unique_settings())

    def _place(self, case, droplets):
        with open(case.scenario, encoding="utf-8") as file:
            text = file.read()
        told = "\0".join([str(EXTRACT), self.identity, text, *self._settings(case), str(droplets), str(case.seed)])
        return os.path.join(self.work, hashlib.sha256(told.encode()).hexdigest()[:32] + ".npz")

    def _simulate(self, case, droplets, result):
        command = [self.program, "run", case.scenario, "--output", result, "--force", "--quiet", "--threads", "1",
                   "--droplets", str(droplets), "--seed", str(case.seed)]
        for setting in self._settings(case):
            command += ["--set", setting]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        if done.returncode != 0:
            raise Failed(f"{' '.join(command)}: exit code {done.returncode}: {done.stderr.strip()}")

    def _make(self, case):
        droplets = case.droplets or self.droplets
        if self.quick:
            droplets = min(droplets, self.droplets)
        place = self._place(case, droplets)
        if not os.path.exists(place):
            result = place[:-4] + ".h5"
            self._simulate(case, droplets, result)
            np.savez_compressed(place[:-4] + ".part.npz", **take(result))
            os.remove(result)
            os.replace(place[:-4] + ".part.npz", place)
            with self._spoken:
                self.made += 1
        else:
            with self._spoken:
                self.known += 1
        with np.load(place, allow_pickle=False) as file:
            return Result(case, {name: file[name] for name in file.files})

    def _of_result(self, case, ending, work_out):
        """What work_out makes of the path of a run's result, as text; kept in the folder of work as runs are."""
        droplets = min(case.droplets or self.droplets, self.droplets)
        place = self._place(case, droplets)[:-4] + ending
        if not os.path.exists(place):
            result = place + ".h5"
            self._simulate(case, droplets, result)
            text = work_out(result)
            os.remove(result)
            with open(place + ".part", "w", encoding="utf-8") as file:
                file.write(text)
            os.replace(place + ".part", place)
            self.made += 1
        else:
            self.known += 1
        with open(place, encoding="utf-8") as file:
            return json.load(file)

    def budget(self, case):
        """What drupelet budget says of a run."""
        def told(result):
            done = subprocess.run([self.program, "budget", result, "--json"], capture_output=True, text=True, check=False)
            if done.returncode != 0:
                raise Failed(f"drupelet budget: exit code {done.returncode}: {done.stderr.strip()}")
            return done.stdout

        return self._of_result(case, ".budget.json", told)

    def passing(self, case, distances_m):
        """{distance: [(weight, alley, diameter at the nozzle in um, diameter there in um, height there in m)]} of the
        kept paths that reach a distance downwind of the block, at their first point beyond it; weights of all paths are
        one together."""
        def told(result):
            return json.dumps({d: passing_paths(result, d) for d in distances_m})

        ending = ".passing-" + "-".join(f"{d:g}" for d in distances_m) + ".json"
        return {float(d): rows for d, rows in self._of_result(case, ending, told).items()}

    def run(self, cases, what=""):
        """Results of the cases, in their order."""
        cases = list(cases)
        results = [None] * len(cases)
        speak = sys.stderr.isatty()
        with ThreadPoolExecutor(self.workers) as pool:
            waiting = {pool.submit(self._make, case): i for i, case in enumerate(cases)}
            try:
                for n, done in enumerate(as_completed(waiting), 1):
                    results[waiting[done]] = done.result()
                    if speak:
                        print(f"\r{what}: {n} of {len(cases)} runs ", end="", file=sys.stderr, flush=True)
            except BaseException:
                for other in waiting:
                    other.cancel()
                raise
        print(("\r" if speak else "") + f"{what}: {len(cases)} runs    ", file=sys.stderr, flush=True)
        return results


def read_published(path):
    """Rows of a CSV of tests/data as dictionaries; lines that begin with # are left out."""
    import csv

    with open(path, encoding="utf-8") as file:
        lines = [line for line in file if not re.match(r"\s*#|\s*$", line)]
    return list(csv.DictReader(lines))
