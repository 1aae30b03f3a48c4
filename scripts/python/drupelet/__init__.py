"""Where the spray of an air-assisted orchard sprayer goes: drupelet from Python.

    import drupelet
    result = drupelet.run("block.yaml", set={"weather.wind_speed": "4 m/s"})
    result["ground/curve"]                      # an xarray.DataArray with units
    table = drupelet.sweep("block.yaml", {"sprayer.fan.speed": ["300 rpm", "540 rpm"]})   # a pandas.DataFrame

Nothing is compiled: the module calls the library libdrupelet (include/drupelet/) by ctypes. It needs numpy and xarray,
and pandas for sweeps. docs/python.md has a session.

For teaching, research and planning trials. No substitute for the product label, local law, buffer zones or a licensed
adviser.
"""

from .errors import BalanceError, Error, FileError, ScenarioError, Stopped
from .library import caution as _caution
from .library import version as _version
from .result import Result, read, run
from .scenario import Scenario
from .table import read_sweep, sweep

__all__ = ["BalanceError", "Error", "FileError", "Result", "Scenario", "ScenarioError", "Stopped", "caution", "read",
           "read_sweep", "run", "sweep"]
__version__ = _version()
caution = _caution()
