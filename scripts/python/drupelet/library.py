"""libdrupelet by ctypes: where it is, its functions (include/drupelet/*.h), and its status as exceptions."""

import ctypes
import ctypes.util
import os
import threading
from ctypes import (CFUNCTYPE, POINTER, Structure, byref, c_bool, c_char, c_char_p, c_double, c_int, c_int64, c_size_t,
                    c_uint64, c_void_p)
from pathlib import Path

from .errors import BalanceError, Error, FileError, ScenarioError, Stopped

OK, SCENARIO, MEMORY, FILE, BALANCE, STOPPED = range(6)  # drupelet_code
DOUBLE, FLOAT, INT8, INT32, INT64, TEXT = range(6)       # drupelet_type
MOST_AXES = 4


class Status(Structure):
    _fields_ = [("code", c_int), ("message", c_char * 640)]


class Quantity(Structure):
    _fields_ = [("group", c_char_p), ("name", c_char_p), ("meaning", c_char_p), ("unit", c_char_p), ("type", c_int),
                ("has_error", c_bool), ("is_axis", c_bool), ("n_axes", c_int), ("axis", c_char_p * MOST_AXES),
                ("n_words", c_int), ("coordinates", c_char_p), ("direction", c_char_p)]


class Column(Structure):
    _fields_ = [("name", c_char_p), ("unit", c_char_p), ("meaning", c_char_p), ("is_factor", c_bool),
                ("has_error", c_bool), ("n_words", c_int)]


class Head(Structure):
    _fields_ = [("name", c_char_p), ("version", c_char_p), ("caution", c_char_p), ("seed", c_uint64),
                ("n_droplets", c_int64), ("n_steps", c_int64)]


class Target(Structure):
    _fields_ = [("wanted", c_bool), ("reached", c_bool), ("error", c_double), ("n_droplets", c_int64)]


RunProgress = CFUNCTYPE(c_bool, c_double, c_void_p)
SweepProgress = CFUNCTYPE(c_bool, c_int64, c_int64, c_void_p)


class RunOptions(Structure):
    _fields_ = [("n_droplets", c_int64), ("seed_given", c_bool), ("seed", c_uint64), ("n_threads", c_int),
                ("progress", RunProgress), ("user", c_void_p), ("cache_folder", c_char_p), ("cache_bytes", c_int64),
                ("cache_refused", POINTER(c_bool))]


class SweepOptions(Structure):
    _fields_ = [("overwrite", c_bool), ("resume", c_bool), ("n_threads", c_int), ("progress", SweepProgress),
                ("user", c_void_p), ("cache_folder", c_char_p)]


_HANDLE = c_void_p  # a scenario, a tree, a result, a table
_OUT = POINTER(c_void_p)
_FUNCTIONS = {
    "drupelet_version": (c_char_p, []),
    "drupelet_caution": (c_char_p, []),
    "drupelet_scenario_read": (Status, [c_char_p, POINTER(c_char_p), c_int, _OUT]),
    "drupelet_scenario_read_text": (Status, [c_char_p, c_char_p, c_size_t, POINTER(c_char_p), c_int, _OUT]),
    "drupelet_scenario_read_tree": (Status, [_HANDLE, POINTER(c_char_p), c_int, _OUT]),
    "drupelet_scenario_free": (None, [_HANDLE]),
    "drupelet_scenario_name": (c_char_p, [_HANDLE]),
    "drupelet_scenario_text": (c_char_p, [_HANDLE]),
    "drupelet_scenario_resolved": (c_char_p, [_HANDLE]),
    "drupelet_tree_create": (Status, [c_char_p, _OUT]),
    "drupelet_tree_free": (None, [_HANDLE]),
    "drupelet_tree_text": (Status, [_HANDLE, c_char_p, c_char_p]),
    "drupelet_tree_number": (Status, [_HANDLE, c_char_p, c_double, c_char_p]),
    "drupelet_tree_group": (Status, [_HANDLE, c_char_p, _OUT]),
    "drupelet_tree_list": (Status, [_HANDLE, c_char_p, _OUT]),
    "drupelet_run": (Status, [_HANDLE, POINTER(RunOptions), _OUT]),
    "drupelet_result_free": (None, [_HANDLE]),
    "drupelet_result_head": (Head, [_HANDLE]),
    "drupelet_result_target": (Target, [_HANDLE]),
    "drupelet_result_write": (Status, [_HANDLE, c_char_p, c_bool]),
    "drupelet_result_read": (Status, [c_char_p, _OUT]),
    "drupelet_groups": (c_int, []),
    "drupelet_group_name": (c_char_p, [c_int]),
    "drupelet_group_meaning": (c_char_p, [c_int]),
    "drupelet_quantity_at": (c_bool, [c_int, POINTER(Quantity)]),
    "drupelet_quantity_word": (c_char_p, [c_char_p, c_int]),
    "drupelet_result_shape": (Status, [_HANDLE, c_char_p, POINTER(c_size_t), POINTER(c_int)]),
    "drupelet_result_numbers": (Status, [_HANDLE, c_char_p, c_size_t, POINTER(c_double), POINTER(c_double)]),
    "drupelet_result_text": (Status, [_HANDLE, c_char_p, c_size_t, POINTER(c_char_p)]),
    "drupelet_sweep_run": (Status, [c_char_p, c_char_p, POINTER(SweepOptions), POINTER(c_int64)]),
    "drupelet_sweep_run_text": (Status, [c_char_p, c_char_p, c_char_p, c_char_p, c_char_p, POINTER(SweepOptions),
                                         POINTER(c_int64)]),
    "drupelet_sweep_read": (Status, [c_char_p, _OUT]),
    "drupelet_sweep_free": (None, [_HANDLE]),
    "drupelet_sweep_name": (c_char_p, [_HANDLE]),
    "drupelet_sweep_cases": (c_int64, [_HANDLE]),
    "drupelet_sweep_column": (c_bool, [_HANDLE, c_int, POINTER(Column)]),
    "drupelet_sweep_word": (c_char_p, [_HANDLE, c_char_p, c_int]),
    "drupelet_sweep_numbers": (Status, [_HANDLE, c_char_p, c_size_t, POINTER(c_double), POINTER(c_double)]),
}


def _candidates():
    """The library, the likeliest place first: named by the user; installed around this file; built beside it."""
    named = os.environ.get("DRUPELET_LIBRARY")
    if named:
        return [named]  # and nowhere else, so that a wrong name shows
    here = Path(__file__).resolve()
    found = []
    if len(here.parents) > 4:  # PREFIX/share/drupelet/python/drupelet/library.py
        prefix = here.parents[4]
        for pattern in ("lib/libdrupelet.so.*", "lib64/libdrupelet.so.*", "lib/*/libdrupelet.so.*"):
            found += sorted(map(str, prefix.glob(pattern)), key=len)  # the short name is the one of the interface
    found.append(str(here.parents[3] / "build" / "libdrupelet.so"))  # ROOT/scripts/python/drupelet/library.py
    anywhere = ctypes.util.find_library("drupelet")  # last: wherever the system looks
    return [path for path in found if os.path.exists(path)] + ([anywhere] if anywhere else [])


def _load():
    tried = []
    for path in _candidates():
        try:
            library = ctypes.CDLL(path)
        except OSError as error:
            tried.append(f"{path} ({error})")
            continue
        for name, (answer, arguments) in _FUNCTIONS.items():
            function = getattr(library, name)
            function.restype, function.argtypes = answer, arguments
        return library
    raise ImportError("libdrupelet is not found: build and install drupelet, or let the environment variable "
                      "DRUPELET_LIBRARY name the file; tried " + "; ".join(tried))


lib = _load()


def check(status):
    """Raises what a status tells."""
    if status.code == OK:
        return
    message = status.message.decode("utf-8", "replace")
    if status.code == MEMORY:
        raise MemoryError(message)
    raise {SCENARIO: ScenarioError, FILE: FileError, BALANCE: BalanceError, STOPPED: Stopped}.get(status.code, Error)(
        message)


def text(pointer):
    """A text of the library; "" for NULL."""
    return pointer.decode("utf-8", "replace") if pointer else ""


def path_bytes(path):
    return os.fsencode(os.fspath(path))


def texts(values):
    """An array of texts for the library, which must outlive the call."""
    return (c_char_p * max(len(values), 1))(*(value.encode("utf-8") for value in values))


def out():
    return c_void_p()


def version():
    return text(lib.drupelet_version())


def caution():
    return text(lib.drupelet_caution())


class Watch:
    """Runs a call of the library in a thread, so that Ctrl-C stops it, and passes its progress to a function.

    show is called with what the library tells; an answer of False stops, and an exception does too and comes out of
    run().
    """

    def __init__(self, show):
        self.show, self.stop, self.failure = show, False, None

    def tell(self, *progress):
        if self.stop:
            return False
        try:
            if self.show and self.show(*progress) is False:
                self.stop = True
        except BaseException as failure:  # it must not end in the library
            self.failure, self.stop = failure, True
        return not self.stop

    def run(self, call):
        answer = []
        thread = threading.Thread(target=lambda: answer.append(call()), daemon=True)
        thread.start()
        interrupted = None
        while thread.is_alive():
            try:
                thread.join(0.1)
            except KeyboardInterrupt as interrupt:
                interrupted, self.stop = interrupt, True
        if interrupted:
            raise interrupted
        if self.failure:
            raise self.failure
        return answer[0]
