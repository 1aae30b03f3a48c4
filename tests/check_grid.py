#!/usr/bin/env python3
"""Opens a grid of air (.vtr) with VTK, as ParaView does, and compares it with the group of the result it comes from.

    check_grid.py GRID RESULT GROUP     (group: wind, or fan_air)
"""
import sys

import h5py
import numpy as np
import vtk
from vtk.util.numpy_support import vtk_to_numpy

reader = vtk.vtkXMLRectilinearGridReader()
errors = []
for event in ("ErrorEvent", "WarningEvent"):
    reader.AddObserver(event, lambda caller, name: errors.append(name))
assert reader.CanReadFile(sys.argv[1]), "VTK does not take it for a rectilinear grid"
reader.SetFileName(sys.argv[1])
reader.Update()
assert not errors, f"VTK complains: {errors}"
grid = reader.GetOutput()
points = grid.GetPointData()

with h5py.File(sys.argv[2], "r") as file:
    wind = file[sys.argv[3]]
    x, z = wind["x"][()], wind["z"][()]
    y = wind["y"][()] if "y" in wind else np.array([0.0])
    assert grid.GetDimensions() == (len(x), len(y), len(z)), f"dimensions {grid.GetDimensions()}"
    assert np.array_equal(vtk_to_numpy(grid.GetXCoordinates()), x), "x differs"
    assert np.array_equal(vtk_to_numpy(grid.GetYCoordinates()), y), "y differs"
    assert np.array_equal(vtk_to_numpy(grid.GetZCoordinates()), z), "z differs"
    speeds = ("speed_across", "speed_along", "speed_up")
    velocity = vtk_to_numpy(points.GetVectors()).reshape(len(z), len(y), len(x), 3)
    names = {"velocity"}
    for i, name in enumerate(speeds):
        assert np.array_equal(velocity[..., i].reshape(wind[name].shape), wind[name][()]), f"{name} differs"
    for name, data in wind.items():
        if data.ndim >= 2 and name not in speeds:
            names.add(name)
            array = points.GetArray(name)
            assert array is not None, f"{name} is missing"
            assert np.array_equal(vtk_to_numpy(array).reshape(data.shape), data[()]), f"{name} differs"
            unit = array.GetInformation().Get(vtk.vtkDataArray.UNITS_LABEL())
            assert unit == data.attrs["units"].decode(), f"{name} is in {unit}"
    found = {points.GetArrayName(i) for i in range(points.GetNumberOfArrays())}
    assert found == names, f"arrays {found}"
