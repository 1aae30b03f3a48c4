"""Sweeps: many cases by a plan, as a pandas.DataFrame."""

import json
import os
import sys
import tempfile

import numpy

from .library import (Column, SweepOptions, SweepProgress, Watch, byref, c_double, c_int64, check, lib, out, path_bytes,
                      text)
from .result import _DOUBLES
from .scenario import Scenario, plain


def _line(n_done, n_cases):
    print(f"\r{n_done} of {n_cases} cases" + ("\n" if n_done >= n_cases else ""), end="", file=sys.stderr, flush=True)


def _columns(handle):
    column, i = Column(), 0
    while lib.drupelet_sweep_column(handle, i, byref(column)):
        yield {"name": text(column.name), "unit": text(column.unit), "meaning": text(column.meaning),
               "is_factor": column.is_factor, "has_error": column.has_error, "n_words": column.n_words}
        i += 1


def _series(handle, column, n_cases):
    """Values and standard errors of a column; words instead of their numbers."""
    values, errors = numpy.empty(n_cases), numpy.empty(n_cases)
    name = column["name"].encode("utf-8")
    check(lib.drupelet_sweep_numbers(handle, name, n_cases, values.ctypes.data_as(_DOUBLES),
                                     errors.ctypes.data_as(_DOUBLES)))
    if column["n_words"]:
        words = [text(lib.drupelet_sweep_word(handle, name, i)) for i in range(column["n_words"])]
        values = numpy.array([words[int(value)] for value in values], dtype=object)
    elif not column["is_factor"] and not column["has_error"] and numpy.all(values == numpy.floor(values)):
        values = values.astype("int64") if column["unit"] == "1" else values
    return values, errors


def read_sweep(path):
    """Reads the result file of a sweep.

    Returns a pandas.DataFrame with a row for each case (index: case, from 1): the factors, then the results, each with
    a column NAME_standard_error behind it. attrs has name, caution, and units, meanings and factors by column.
    """
    import pandas

    handle = out()
    check(lib.drupelet_sweep_read(path_bytes(path), byref(handle)))
    try:
        n_cases = lib.drupelet_sweep_cases(handle)
        columns, units, meanings, factors = {}, {}, {}, []
        for column in _columns(handle):
            values, errors = _series(handle, column, n_cases)
            name = column["name"]
            columns[name], units[name], meanings[name] = values, column["unit"], column["meaning"]
            if column["is_factor"]:
                factors.append(name)
            if column["has_error"]:
                columns[name + "_standard_error"], units[name + "_standard_error"] = errors, column["unit"]
        table = pandas.DataFrame(columns).set_index("case")
        table.attrs.update(name=text(lib.drupelet_sweep_name(handle)), units=units, meanings=meanings, factors=factors,
                           caution=text(lib.drupelet_caution()))
        return table
    finally:
        lib.drupelet_sweep_free(handle)


def _plan_of(factors, set, plan):
    """The text of a plan: JSON, which is YAML."""
    if isinstance(factors, dict):
        factors = [{"key": key, "values": list(values)} for key, values in factors.items()]
    whole = dict(plan, factors=list(factors))
    if set:
        whole["set"] = set
    return json.dumps(plain(whole), ensure_ascii=False)


def sweep(scenario, factors=None, *, set=None, output=None, overwrite=False, resume=False, threads=0, progress=None,
          cache=None, **plan):
    """Runs many cases and returns their table (see read_sweep).

    scenario  path of a plan (then without factors); or a scenario: a path, text, a dict or a Scenario
    factors   {"sprayer.fan.speed": ["300 rpm", "540 rpm"], ...}: every level with every level; or a list of factors as
              a plan has them: [{"key": "weather.wind_speed", "from": "1 m/s", "to": "5 m/s", "steps": 5}, ...]
    plan      other keys of a plan: droplets=20000, design="latin_hypercube", samples=64, replicates=4, ...
    output    file to keep; None: none is kept
    resume    goes on with the journal beside output, where there is one
    progress  True: a line on standard error; a function of cases done and of all, which may return False to stop
    Raises ScenarioError, FileError, Stopped; Ctrl-C stops. Cases that failed have no numbers and the state "failed".
    """
    watch = Watch(_line if progress is True else progress)
    tell = SweepProgress(lambda n_done, n_cases, user: watch.tell(n_done, n_cases))
    options = SweepOptions(overwrite=overwrite, resume=resume, n_threads=threads, progress=tell,
                           cache_folder=path_bytes(cache) if cache else None)
    n_failed = c_int64()
    with tempfile.TemporaryDirectory(prefix="drupelet-") as folder:
        path = path_bytes(output if output is not None else os.path.join(folder, "sweep.h5"))
        if factors is None:
            if plan or set:
                raise TypeError("a plan from a file has its keys: give set and the like with factors only")
            call = lambda: lib.drupelet_sweep_run(path_bytes(scenario), path, byref(options), byref(n_failed))
        else:
            base = scenario if isinstance(scenario, Scenario) else Scenario(scenario)
            written = _plan_of(factors, dict(base.set, **(set or {})), plan).encode("utf-8")
            name = path_bytes(base.file) if base.file else base.name.encode("utf-8")
            source = base.text.encode("utf-8")
            call = lambda: lib.drupelet_sweep_run_text(b"plan", written, name, source, path, byref(options),
                                                       byref(n_failed))
        check(watch.run(call))
        return read_sweep(os.fsdecode(path))
