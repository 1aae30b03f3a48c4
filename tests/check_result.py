#!/usr/bin/env python3
"""Reads a result file with h5py and xarray, as its users do, and checks docs/result-format.md on it.

    check_result.py FILE DOCUMENT      check
    check_result.py FILE --set-format N   rewrite the format number, for a test of the reader
"""
import re
import sys
import warnings

import h5netcdf  # noqa: F401 (an engine of xarray)
import h5py
import netCDF4  # noqa: F401 (the other engine)
import numpy as np
import xarray

warnings.simplefilter("error")  # of what the file makes them say; their own ageing is not our concern
for ageing in (DeprecationWarning, PendingDeprecationWarning, FutureWarning):
    warnings.simplefilter("ignore", ageing)
path, other = sys.argv[1:3]
if other == "--set-format":
    with h5py.File(path, "r+") as file:
        file.attrs.modify("format_number", np.int32(sys.argv[3]))
    sys.exit(0)

faults = []


def expect(good, what):
    if not good:
        faults.append(what)


def close(a, b, tolerance, what):
    expect(abs(a - b) <= tolerance, f"{what}: {a!r} and {b!r}")


# ---- every dataset: scales, attributes, and a place in the document ----
with open(other, encoding="utf-8") as text:
    document = text.read()
sections = {m[0]: m[1] for m in re.findall(r"^## `(\w+)`(.*?)(?=^## |\Z)", document, re.S | re.M)}
n_sets = 0
with h5py.File(path, "r") as file:
    for name, value in list(file.attrs.items()):
        kind = file.attrs.get_id(name).get_type()
        if isinstance(value, (str, bytes, np.bytes_)):
            fixed = not kind.is_variable_str() and kind.get_cset() == h5py.h5t.CSET_UTF8
            expect(fixed, f"attribute {name} is not fixed UTF-8")
        expect(f"`{name}`" in document, f"root attribute {name} is not in the document")
    expect(set(file) == set(sections), f"groups {set(file)} and sections {set(sections)} differ")
    for group_name, group in file.items():
        for name, data in group.items():
            n_sets += 1
            full = f"{group_name}/{name}"
            words = sections.get(group_name, "")
            expect(f"`{re.sub('_standard_error$', '', name)}`" in words, f"{full} is not in the document")
            expect("long_name" in data.attrs, f"{full} has no long_name")
            if data.dtype.kind != "O":
                expect("units" in data.attrs, f"{full} has no units")
                expect(data.attrs.get("units") != b"seconds", f"{full} is in seconds")
                if data.ndim:
                    expect(data.fletcher32 and data.shuffle and data.compression == "gzip", f"{full} lacks a filter")
            if h5py.h5ds.is_scale(data.id):
                continue
            for i, dimension in enumerate(data.dims):
                expect(len(dimension) == 1, f"{full} has no scale on dimension {i}")
                if len(dimension) == 1:
                    expect(dimension[0].name.startswith(f"/{group_name}/"), f"{full}: scale in another group")
                    expect(dimension[0].shape[0] == data.shape[i], f"{full}: scale of another length")

# ---- what it says, through both engines ----
for engine in ("netcdf4", "h5netcdf"):
    get = lambda group: xarray.load_dataset(path, group=group, engine=engine)
    fates, canopy, ground, airborne, tracks, air, sprayer, inputs = map(
        get, ("fates", "canopy", "ground", "airborne", "tracks", "air", "sprayer", "inputs"))
    close(float(fates.active_ingredient.sum()), 1.0, 1e-9, "active ingredient")
    close(float(fates.water.sum() + fates.evaporated), 1.0, 1e-5, "water")
    expect(list(fates.fate.values[:3]) == ["leaf", "wood", "ground_alley"], "names of fates")
    expect(np.allclose(fates.by_size.sum("size"), fates.active_ingredient, rtol=0, atol=1e-9), "fates by size")
    expect(np.allclose(fates.by_size.sum("fate"), fates.emitted, rtol=0, atol=1e-9), "emitted by size")
    expect(bool(((fates.size > fates.size_low) & (fates.size < fates.size_high)).all()), "size bins")
    leaf = float(fates.active_ingredient.sel(fate="leaf"))
    expect(list(fates.target.values) == ["leaf", "wood"], "targets of impacts")
    for target in fates.target.values:
        stayed, impacts = fates.stayed.sel(target=target), fates.impacts.sel(target=target)
        dripped = float(canopy.run_off if target == "leaf" else canopy.wood_run_off)
        close(float(stayed.sum()), float(fates.active_ingredient.sel(fate=target)) + dripped, 1e-9, f"stayed on {target}")
        close(float(stayed.sel(outcome="adhered")), float(impacts.sel(outcome="adhered")), 1e-12, "what adheres stays")
        expect(float(stayed.sel(outcome="bounced")) == 0.0, "what bounces leaves nothing")
        expect(bool((stayed <= impacts).all()), "no more stays than meets a target")
        if float(impacts.sum()) > 0.0:
            expect(np.allclose(impacts / impacts.sum(), fates.outcome_share.sel(target=target), rtol=1e-12), "outcomes")
    close(float(canopy.leaf_deposit.sum()), leaf, 1e-9, "leaf deposit by voxel")
    close(float(canopy.row_deposit.sum()), leaf, 1e-9, "leaf deposit by row")
    close(float(canopy.leaf_side_deposit.sum()), leaf, 1e-9, "leaf deposit by side")
    # a voxel's deposit per leaf area, times its leaf area, is its share of what the period's length got
    voxel_m3 = float(canopy.voxel_edge ** 2 * canopy.voxel_edge_along)
    layer = canopy.leaf_deposit_per_leaf_area.astype(float) * 1e4 * 1e-6  # L/m2
    litres = float((layer * canopy.leaf_area_density * voxel_m3).sum())
    period_m = float(canopy.voxel_edge_along) * canopy.sizes["y"]
    bare = float(canopy.leaf_deposit.where(canopy.leaf_area_density == 0).sum())
    emitted_l = float(sprayer.emitted_per_100_m) / 100.0 * period_m
    close(litres / emitted_l, leaf - bare, 1e-5, "deposit per leaf area")
    # the same by row, third and side, and the cover of all leaves as the mean over leaf area
    held = float((canopy.deposit_per_leaf_area * 0.01 * canopy.leaf_area).sum()) * period_m
    close(held / emitted_l, leaf - bare, 1e-9, "deposit per leaf area by place")
    whole_deposit = float(canopy.deposit_per_leaf_area_all) * 0.01 * float(canopy.leaf_area.sum()) * period_m
    close(whole_deposit / emitted_l, leaf - bare, 1e-9, "deposit per leaf area of all")
    mean = (canopy.coverage * canopy.leaf_area).sum(("row", "third", "side")) / canopy.leaf_area.sum()
    expect(np.allclose(mean, canopy.coverage_all, rtol=1e-9), "coverage of all leaves")
    expect(bool(((canopy.coverage >= 0) & (canopy.coverage <= 100)).all()), "coverage out of range")
    lai = float(canopy.leaf_area.sum()) / float(ground.treated_width)
    close(float(canopy.normalised_deposit_all), 10.0 * (leaf - bare) / lai, 1e-6, "normalised deposit")
    expect(bool((canopy.liquid_per_leaf_area <= canopy.deposit_per_leaf_area * (1 + 1e-9)).all()), "liquid")
    lies = float(fates.active_ingredient.sel(
        fate=["ground_alley", "ground_row", "ground_downwind", "ground_upwind"]).sum())
    close(float(ground.percent_of_output.sum()), 100.0 * lies, 1e-7, "ground")
    treated_m = float(ground.treated_width)
    whole = ground.isel(x=slice(0, -1))  # the last strip may be narrower
    of_output = whole.percent_of_rate * ground.strip_width / treated_m
    expect(np.allclose(of_output, whole.percent_of_output, rtol=1e-12, atol=0), "percent of rate and of output")
    down = int(ground.downwind)
    edge = ground.block_high_x if down > 0 else ground.block_low_x
    expect(np.allclose(ground.distance, down * (ground.x - edge)), "distance")
    beyond = ground.distance.values > 20.0
    left = float(fates.active_ingredient.sel(fate="air_downwind"))
    drift = float(ground.percent_of_output.values[beyond].sum()) + 100.0 * left
    strip = float(ground.percent_of_output.max())
    close(float(ground.drift_sum.sel(drift_distance=20.0)), drift, strip, "drift sum at 20 m")
    # rate times area is volume: L/ha over 100 m of all rows
    by_rate = float(sprayer.application_rate) * treated_m * 100.0 / 1e4
    close(by_rate / float(sprayer.emitted_per_100_m), 1.0, 1e-9, "rate")
    through = (airborne.net_flux * 0.5).sum("z")  # bins of half a metre
    expect(np.allclose(through, airborne.net_flux_all_heights, rtol=1e-9, atol=1e-12), "flux")
    catch = get("collectors")
    if catch.sizes:
        layer = float(sprayer.application_rate) * 1e-2  # L/ha in uL/cm2
        for before in ("", "part_"):
            of_rate = 100.0 * catch[before + "caught"] / layer
            expect(np.allclose(of_rate, catch[before + "percent_of_rate"], rtol=1e-9, atol=0), "catch over the rate")
            expect(bool((catch[before + "liquid"] <= catch[before + "caught"] * (1 + 1e-9)).all()), "liquid caught")
            paper = np.isfinite(catch[before + "coverage"])
            expect(bool((catch[before + "coverage"][paper] <= 100.0).all()), "coverage")
        parts = catch.part_collector.values
        expect(bool((np.diff(parts) >= 0).all()) and set(parts) == set(range(1, catch.sizes["collector"] + 1)), "parts")
        for i in range(catch.sizes["collector"]):
            close(float(catch.part_caught[parts == i + 1].mean()), float(catch.caught[i]),
                  1e-9 * (1 + float(catch.caught[i])), "mean of the parts of a collector")
        expect(catch.kind.attrs["flag_meanings"].split()[:3] == ["dish", "line", "card"], "kinds of collectors")
    if tracks.sizes:
        expect(int(tracks.row_size.sum()) == tracks.sizes["point"], "row sizes")
        expect(tracks.time.dtype == np.float32 and tracks.time.attrs["units"] == "s", "time is no plain number")
        ends = np.cumsum(tracks.row_size.values)
        steps = np.diff(tracks.time.values.astype(float))
        expect(bool((np.delete(steps, ends[:-1] - 1) > 0).all()), "time does not rise along the paths")
        expect(bool((tracks.fate < len(fates.fate)).all()), "fates of paths")
        expect(tracks.fate.attrs["flag_meanings"].split() == list(fates.fate.values), "meanings of flags")
    says_assumed = [note.startswith("assumed") for note in sprayer.note.values]
    expect(bool(((sprayer.assumed == 1) == says_assumed).all()), "notes of tips")
    expect(len(str(inputs.scenario.values)) > 0 and len(str(inputs.resolved.values)) > 0, "inputs")

for fault in faults:
    print(fault, file=sys.stderr)
print(f"{n_sets} datasets checked, {len(faults)} faults")
sys.exit(1 if faults else 0)
