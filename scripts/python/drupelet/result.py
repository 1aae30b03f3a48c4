"""Results: a tree of xarray.Datasets, a group of the result file each."""

import sys
import weakref
from collections.abc import Mapping

import numpy
import xarray

from .library import (DOUBLE, FLOAT, INT8, INT32, INT64, MOST_AXES, TEXT, Quantity, RunOptions, RunProgress, Watch,
                      byref, c_char_p, c_int, c_size_t, check, lib, out, path_bytes, text)
from .scenario import Scenario

_KIND = {DOUBLE: "float64", FLOAT: "float32", INT8: "int8", INT32: "int32", INT64: "int64"}


def _table():
    """The quantities of results, by group (include/drupelet/quantities.h)."""
    groups = {text(lib.drupelet_group_name(i)): [] for i in range(lib.drupelet_groups())}
    quantity, i = Quantity(), 0
    while lib.drupelet_quantity_at(i, byref(quantity)):
        groups[text(quantity.group)].append(
            {"name": text(quantity.name), "meaning": text(quantity.meaning), "unit": text(quantity.unit),
             "type": quantity.type, "has_error": quantity.has_error, "is_axis": quantity.is_axis,
             "axes": tuple(text(quantity.axis[k]) for k in range(quantity.n_axes)), "n_words": quantity.n_words,
             "coordinates": text(quantity.coordinates), "direction": text(quantity.direction)})
        i += 1
    return groups


_GROUPS = _table()
_MEANING = {text(lib.drupelet_group_name(i)): text(lib.drupelet_group_meaning(i)) for i in range(lib.drupelet_groups())}


class Result(Mapping):
    """What a run found, as a mapping: result["ground"] is an xarray.Dataset, result["ground/curve"] a DataArray.

    Names, axes, units and meanings are those of the result file (docs/result-format.md). NAME_standard_error is the
    standard error of NAME from the sampling of droplets. attrs has seed, droplets, version and caution.
    Groups in which there is nothing (no collectors, no wind kept) are not in it.
    """

    def __init__(self, handle, scenario=None):
        self._handle, self._scenario = handle, scenario  # a result borrows its scenario
        self._end = weakref.finalize(self, lib.drupelet_result_free, handle)
        self._made, self._groups = {}, [name for name in _GROUPS if any(self._shape(name, q) is not None
                                                                         for q in _GROUPS[name] if not q["is_axis"])]
        head = lib.drupelet_result_head(handle)
        self.attrs = {"name": text(head.name), "seed": head.seed, "n_droplets": head.n_droplets,
                      "n_steps": head.n_steps, "version": text(head.version), "caution": text(head.caution)}
        target = lib.drupelet_result_target(handle)
        if target.wanted:
            self.attrs.update(target_reached=target.reached, target_error=target.error)

    # ---- what the library has ----

    def _shape(self, group, quantity):
        """Lengths of the axes; None where there is nothing."""
        shape, n_axes = (c_size_t * MOST_AXES)(), c_int()
        check(lib.drupelet_result_shape(self._handle, self._path(group, quantity), shape, byref(n_axes)))
        shape = tuple(shape[k] for k in range(n_axes.value))
        return None if 0 in shape else shape

    @staticmethod
    def _path(group, quantity):
        return f"{group}/{quantity['name']}".encode("utf-8")

    def _values(self, group, quantity, shape):
        """Values and standard errors as arrays; errors are None where there are none."""
        n, path = int(numpy.prod(shape, dtype="int64")), self._path(group, quantity)
        if quantity["type"] == TEXT:
            values = numpy.empty(n, dtype=object)
            for i in range(n):
                one = c_char_p()
                check(lib.drupelet_result_text(self._handle, path, i, byref(one)))
                values[i] = text(one.value)
            return values.reshape(shape), None
        values, errors = numpy.empty(n), numpy.empty(n)
        check(lib.drupelet_result_numbers(self._handle, path, n, values.ctypes.data_as(_DOUBLES),
                                          errors.ctypes.data_as(_DOUBLES)))
        values = values.astype(_KIND[quantity["type"]]).reshape(shape)
        return values, errors.reshape(shape) if quantity["has_error"] else None

    @staticmethod
    def _attrs(group, quantity, of_error=False):
        attrs = {"long_name": ("standard error of: " if of_error else "") + quantity["meaning"]}
        if quantity["unit"]:
            attrs["units"] = quantity["unit"]
        if quantity["direction"]:
            attrs["axis"] = quantity["direction"]
        if quantity["n_words"]:
            path = Result._path(group, quantity)
            attrs["flag_values"] = numpy.arange(quantity["n_words"], dtype="int8")
            attrs["flag_meanings"] = " ".join(text(lib.drupelet_quantity_word(path, i))
                                              for i in range(quantity["n_words"]))
        return attrs

    def _dataset(self, group):
        variables, coordinates = {}, set()
        for quantity in _GROUPS[group]:
            shape = self._shape(group, quantity)
            if shape is None:
                continue
            values, errors = self._values(group, quantity, shape)
            name, axes = quantity["name"], quantity["axes"]
            variables[name] = (axes, values, self._attrs(group, quantity))
            if errors is not None:
                variables[name + "_standard_error"] = (axes, errors, self._attrs(group, quantity, True))
            if quantity["coordinates"]:
                coordinates.add(quantity["coordinates"])
        dataset = xarray.Dataset(variables, attrs={"long_name": _MEANING[group]})
        return dataset.set_coords(sorted(coordinates))

    # ---- a mapping ----

    def __getitem__(self, name):
        group, slash, quantity = name.partition("/")
        if group not in self._groups:
            raise KeyError(f"{name}: the result has the groups {', '.join(self._groups)}")
        if group not in self._made:
            self._made[group] = self._dataset(group)
        return self._made[group][quantity] if slash else self._made[group]

    def __iter__(self):
        return iter(self._groups)

    def __len__(self):
        return len(self._groups)

    def __repr__(self):
        lines = [f"<drupelet.Result {self.attrs['name']!r}, {self.attrs['n_droplets']} droplets, seed "
                 f"{self.attrs['seed']}>"]
        lines += [f"    {name + ':':12s} {_MEANING[name]}" for name in self]
        return "\n".join(lines)

    # ---- the whole ----

    @property
    def settings(self):
        """Every value that was used, by key path."""
        lines = str(self["inputs"]["resolved"].item()).splitlines()
        return dict(line.split(": ", 1) for line in lines if ": " in line)

    def write(self, path, overwrite=False):
        """Writes the result file (HDF5, opens as netCDF-4), as the command run does."""
        check(lib.drupelet_result_write(self._handle, path_bytes(path), overwrite))

    def datatree(self):
        """The same as an xarray.DataTree, where xarray has them (2024.10 and later)."""
        if not hasattr(xarray, "DataTree"):
            raise NotImplementedError(f"xarray {xarray.__version__} has no DataTree: use the result as a mapping of "
                                      "Datasets")
        tree = xarray.DataTree.from_dict(dict(self))
        tree.attrs.update(self.attrs)
        return tree


_DOUBLES = lib.drupelet_result_numbers.argtypes[3]


def _line(share_done):
    end = "\n" if share_done >= 1.0 else ""
    print(f"\r{100 * share_done:3.0f} % done", end=end, file=sys.stderr, flush=True)


def run(scenario, set=None, *, droplets=None, seed=None, threads=0, progress=None, cache=None, name="scenario"):
    """Simulates a scenario.

    scenario  a path, text, a dict, or a Scenario (see Scenario)
    set       values on top, by key path: {"weather.wind_speed": "4 m/s"}
    droplets, seed  instead of the scenario's
    threads   0: as many as OpenMP offers; the result does not depend on it
    progress  True: a line on standard error; a function: called now and then with the share done, 0 to 1, from another
              thread, and may return False to stop
    cache     folder that keeps computed winds for later runs
    Returns a Result. Raises ScenarioError, BalanceError, Stopped, MemoryError; Ctrl-C stops.
    """
    if isinstance(scenario, Scenario):
        if set:
            raise TypeError("a Scenario has its values: give set where it is made")
    else:
        scenario = Scenario(scenario, set, name)
    watch = Watch(_line if progress is True else progress)
    tell = RunProgress(lambda share_done, user: watch.tell(share_done))
    options = RunOptions(n_droplets=droplets or 0, seed_given=seed is not None, seed=seed or 0, n_threads=threads,
                         progress=tell, cache_folder=path_bytes(cache) if cache else None)
    handle = out()
    status = watch.run(lambda: lib.drupelet_run(scenario._handle, byref(options), byref(handle)))
    check(status)
    return Result(handle, scenario)


def read(path):
    """Reads a result file. Returns a Result."""
    handle = out()
    check(lib.drupelet_result_read(path_bytes(path), byref(handle)))
    return Result(handle)
