"""Scenarios: from a file, from text, or from a dict of values."""

import json
import math
import numbers
import os
import weakref

from .library import byref, check, lib, out, path_bytes, text, texts


def words_of(value):
    """A single value as a scenario file has it: "3 m/s", 6, 0.5, True, (3, "m/s")."""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, numbers.Integral):
        return str(int(value))
    if isinstance(value, numbers.Real):
        if not math.isfinite(value):
            raise ValueError(f"{value!r} is not finite")
        return repr(float(value))
    if isinstance(value, tuple) and _is_quantity(value):
        return f"{words_of(value[0])} {value[1]}".rstrip()
    raise TypeError(f"{value!r} is no value of a scenario: give text, a number, or a number and its unit as a tuple")


def plain(value):
    """The same for groups (dict) and lists, with every value as text, ready for JSON, which is YAML."""
    if isinstance(value, dict):
        return {str(key): plain(entry) for key, entry in value.items()}
    if isinstance(value, list) or (isinstance(value, tuple) and not _is_quantity(value)):
        return [plain(entry) for entry in value]
    return words_of(value)


def _is_quantity(value):
    return len(value) == 2 and isinstance(value[0], numbers.Real) and isinstance(value[1], str)


def settings_of(set):
    """{"weather.wind_speed": "4 m/s"} as ["weather.wind_speed=4 m/s"]."""
    def written(value):
        value = plain(value)
        return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    return [f"{key}={written(value)}" for key, value in (set or {}).items()]


def _fill(tree, entries):
    """Puts a dict or a list into a tree of the library."""
    items = entries.items() if isinstance(entries, dict) else ((None, entry) for entry in entries)
    for key, value in items:
        name = key.encode("utf-8") if key is not None else None
        if isinstance(value, str):
            check(lib.drupelet_tree_text(tree, name, value.encode("utf-8")))
            continue
        below = out()
        make = lib.drupelet_tree_group if isinstance(value, dict) else lib.drupelet_tree_list
        check(make(tree, name, byref(below)))
        _fill(below, value)


class Scenario:
    """One case to simulate, read and checked.

    source  path of a scenario file; text of one (with a line break in it); or a dict of sections:
            {"orchard": {"rows": 6, "row_spacing": "3.5 m"}, "weather": {"wind_speed": (3, "m/s")}, ...}
    set     values on top, by key path: {"weather.wind_speed": "4 m/s", "sprayer.nozzles.0.angle": (5, "deg")}
    name    stands for the file of a text or a dict in messages, and for its title where it has none
    """

    def __init__(self, source, set=None, name="scenario"):
        handle, given = out(), settings_of(set)
        settings, n = texts(given), len(given)
        self.file = None
        if isinstance(source, dict):
            tree = out()
            check(lib.drupelet_tree_create(name.encode("utf-8"), byref(tree)))
            try:
                _fill(tree, plain(source))
                check(lib.drupelet_scenario_read_tree(tree, settings, n, byref(handle)))
            finally:
                lib.drupelet_tree_free(tree)
        elif isinstance(source, str) and "\n" in source:
            written = source.encode("utf-8")
            check(lib.drupelet_scenario_read_text(name.encode("utf-8"), written, len(written), settings, n,
                                                  byref(handle)))
        else:
            self.file = os.fspath(source)
            check(lib.drupelet_scenario_read(path_bytes(source), settings, n, byref(handle)))
        self._handle, self.set = handle, dict(set or {})
        self._end = weakref.finalize(self, lib.drupelet_scenario_free, handle)

    @property
    def name(self):
        return text(lib.drupelet_scenario_name(self._handle))

    @property
    def text(self):
        """The scenario as text (YAML), without what set put on top."""
        return text(lib.drupelet_scenario_text(self._handle))

    @property
    def settings(self):
        """Every value that counts, by key path, such as "3 m/s" or "0.03 m (default)"."""
        lines = text(lib.drupelet_scenario_resolved(self._handle)).splitlines()
        return dict(line.split(": ", 1) for line in lines if ": " in line)

    def __repr__(self):
        return f"<drupelet.Scenario {self.name!r}, {len(self.settings)} values>"
