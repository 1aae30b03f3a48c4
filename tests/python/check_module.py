"""The module of scripts/python: results as they are in files, scenarios from everywhere, faults, stops, sweeps.

tests/test_python.sh runs it, with the library named by DRUPELET_LIBRARY and the program by DRUPELET_PROGRAM."""

import os
import signal
import subprocess
import tempfile
import threading
import unittest

import numpy
import pandas
import xarray

import drupelet

SCENARIOS = os.environ["DRUPELET_SCENARIOS"]
SMALL = os.path.join(os.environ["DRUPELET_TEST_DATA"], "small-run.yaml")
TRIAL = os.path.join(SCENARIOS, "drift-trial.yaml")

TWO_ROWS = {
    "orchard": {"rows": 2, "row_spacing": "3.5 m", "tree_spacing": (1, "m")},
    "canopy": {"crown": "wall", "height": (3, "m"), "base": "0.5 m", "width": "1.2 m", "leaf_area_index": 1.5},
    "sprayer": {
        "travel_speed": "6 km/h", "pressure": (7, "bar"),
        "fan": {"reference_speed": "540 rpm", "reference_flow": "4.4 m3/s", "reference_power": "10 kW"},
        "outlets": [{"kind": "arc", "centre_height": "0.95 m", "radius": "0.45 m", "from": "-10 deg", "to": "62 deg",
                     "slot": "120 mm"}],
        "nozzles": [{"tip": "fine \"cone\": é", "offset": "0.5 m", "height": (0.85 + 0.1 * i, "m"),
                     "angle": (12 * i, "deg")} for i in range(5)]},
    "tips": {"fine \"cone\": é": {"kind": "hollow_cone", "size": "01"}},
    "weather": {"temperature": "20 degC", "relative_humidity": "60 %", "wind_speed": (3, "m/s")},
    "run": {"wind": "profiles", "droplets": 2000},
}


class Results(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.path = os.path.join(cls.folder.name, "result.h5")
        cls.result = drupelet.run(TRIAL, set={"run.keep_wind": True, "run.wind": "profiles"}, droplets=5000, threads=2)
        cls.result.write(cls.path)

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def test_every_group_is_as_xarray_reads_the_file(self):
        self.assertGreater(len(self.result), 10)
        again = drupelet.read(self.path)
        self.assertEqual(list(again), list(self.result))
        for group in self.result:
            with xarray.open_dataset(self.path, group=group, engine="h5netcdf") as file:
                for dataset in (self.result[group], again[group]):
                    self.assertEqual(set(dataset.variables), set(file.variables), group)
                    self.assertEqual(set(dataset.coords), set(file.coords), group)
                    for name in file.variables:
                        here, there = dataset.variables[name], file.variables[name]
                        self.assertEqual(here.dims, there.dims, name)
                        if here.dtype != object:
                            self.assertEqual(here.dtype, there.dtype, name)
                        numpy.testing.assert_array_equal(here.values, there.values, f"{group}/{name}")
                        for attribute in ("units", "long_name", "flag_meanings", "axis"):
                            self.assertEqual(here.attrs.get(attribute), there.attrs.get(attribute), name)

    def test_the_file_has_the_bytes_of_the_command(self):
        path = os.path.join(self.folder.name, "command.h5")
        command = [os.environ["DRUPELET_PROGRAM"], "run", TRIAL, "--droplets", "5000", "--quiet", "--output", path,
                   "--set", "run.keep_wind=yes", "--set", "run.wind=profiles"]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        with open(path, "rb") as one, open(self.path, "rb") as other:
            self.assertEqual(one.read(), other.read())

    def test_a_result_is_a_mapping(self):
        self.assertIn("ground", self.result)
        self.assertNotIn("grounds", self.result)
        self.assertIs(self.result["ground"], self.result["ground"])
        self.assertEqual(self.result["ground/curve"].units, "percent")
        self.assertEqual(self.result["collectors"].sel(collector="dish 5 m")["distance"].item(), 5.0)
        self.assertEqual(self.result.attrs["n_droplets"], 5024)
        self.assertIn("licensed adviser", self.result.attrs["caution"])
        self.assertEqual(self.result.settings["run.wind"], "profiles")
        self.assertIn("airborne:", repr(self.result))
        with self.assertRaisesRegex(KeyError, "fates"):
            self.result["fate/water"]

    def test_files_are_guarded(self):
        with self.assertRaisesRegex(drupelet.FileError, "exists"):
            self.result.write(self.path)
        self.result.write(self.path, overwrite=True)
        with self.assertRaises(OSError):
            self.result.write("/nowhere/result.h5")
        with self.assertRaises(drupelet.ScenarioError):
            drupelet.read(TRIAL)


class Scenarios(unittest.TestCase):
    def test_dict_text_and_path_read_alike(self):
        with open(SMALL) as file:
            text = file.read()
        of_path, of_text = drupelet.Scenario(SMALL), drupelet.Scenario(text)
        self.assertEqual(of_path.settings, of_text.settings)
        self.assertEqual(of_text.text, text)
        of_dict = drupelet.Scenario(TWO_ROWS, name="two rows")
        self.assertEqual(of_dict.name, "two rows")
        self.assertEqual(of_dict.settings["sprayer.nozzles.4.height"], "1.25 m")
        self.assertEqual(drupelet.Scenario(of_dict.text, name="two rows").settings, of_dict.settings)
        result = drupelet.run(of_dict)
        self.assertAlmostEqual(float(result["fates/active_ingredient"].sum()), 1.0, 9)
        self.assertEqual(str(result["inputs"]["scenario"].item()), of_dict.text)

    def test_settings_come_on_top(self):
        outlets = [dict(TWO_ROWS["sprayer"]["outlets"][0], slot=(80, "mm"))]
        scenario = drupelet.Scenario(SMALL, set={"weather.wind_speed": (2.5, "m/s"), "run.droplets": 3000,
                                                 "sprayer.outlets": outlets})
        self.assertEqual(scenario.settings["weather.wind_speed"], "2.5 m/s")
        self.assertEqual(scenario.settings["run.droplets"], "3000")
        self.assertEqual(scenario.settings["sprayer.outlets.0.slot"], "80 mm")
        with self.assertRaises(TypeError):
            drupelet.Scenario(SMALL, set={"run.seed": None})
        with self.assertRaises(ValueError):
            drupelet.Scenario(SMALL, set={"weather.wind_speed": (float("nan"), "m/s")})

    def fault(self, *arguments, **more):
        with self.assertRaises(drupelet.ScenarioError) as caught:
            drupelet.Scenario(*arguments, **more)
        return caught.exception

    def test_faults_say_where(self):
        fault = self.fault("orchard:\n  rows: 500\n", name="block: 7")
        self.assertEqual((fault.file, fault.line, fault.column, fault.key, fault.found, fault.expected),
                         ("block: 7", 2, 9, "orchard.rows", "500", "a whole number from 1 to 64"))
        fault = self.fault(SMALL, set={"weather.wind_speed": "99 m/s"})
        self.assertEqual((fault.file, fault.line, fault.setting, fault.key, fault.found),
                         (None, None, "weather.wind_speed=99 m/s", "weather.wind_speed", "99 m/s"))
        wrong = dict(TWO_ROWS, weather=dict(TWO_ROWS["weather"], wind_speed=(99, "m/s")))
        fault = self.fault(wrong, name="two rows")
        self.assertEqual((fault.file, fault.line, fault.key, fault.expected),
                         ("two rows", None, "weather.wind_speed", "a speed from 0 m/s to 15 m/s"))
        fault = self.fault("/nowhere/block.yaml")
        self.assertIn("No such file", str(fault))
        self.assertIsInstance(fault, ValueError)


class Stops(unittest.TestCase):
    def test_progress_tells_and_stops(self):
        told = []
        drupelet.run(SMALL, droplets=2000, progress=told.append)
        self.assertEqual(told[-1], 1.0)
        self.assertEqual(told, sorted(told))
        with self.assertRaises(drupelet.Stopped):
            drupelet.run(SMALL, droplets=10**7, progress=lambda share: False)

        def fail(share):
            raise ArithmeticError("mine")
        with self.assertRaisesRegex(ArithmeticError, "mine"):
            drupelet.run(SMALL, droplets=10**7, progress=fail)

    def test_an_interrupt_stops(self):
        timer = threading.Timer(0.5, os.kill, (os.getpid(), signal.SIGINT))
        timer.start()
        with self.assertRaises(KeyboardInterrupt):
            drupelet.run(SMALL, droplets=10**8)
        timer.join()

    def test_threads_run_side_by_side(self):
        alone = drupelet.run(SMALL, droplets=2000)["ground/curve"].values
        found = [None] * 3

        def work(i):
            found[i] = drupelet.run(SMALL, droplets=2000, threads=1)["ground/curve"].values
        threads = [threading.Thread(target=work, args=(i,)) for i in range(len(found))]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        for curve in found:
            numpy.testing.assert_array_equal(curve, alone)


class Sweeps(unittest.TestCase):
    FACTORS = {"sprayer.fan.speed": ["300 rpm", (540, "rpm")], "canopy.upper_side": ["easy", "very_hard"]}

    def test_a_sweep_is_a_table(self):
        told = []
        base = drupelet.Scenario(SMALL, set={"weather.wind_speed": "2 m/s"})
        table = drupelet.sweep(base, self.FACTORS, droplets=1000, progress=lambda *counts: told.append(counts))
        self.assertEqual(told[-1], (4, 4))
        self.assertIsInstance(table, pandas.DataFrame)
        self.assertEqual(list(table.index), [1, 2, 3, 4])
        self.assertEqual(list(table["sprayer_fan_speed"]), [300.0, 300.0, 540.0, 540.0])
        self.assertEqual(list(table["canopy_upper_side"]), ["easy", "very_hard"] * 2)
        self.assertEqual(set(table["state"]), {"done"})
        self.assertEqual(table.attrs["factors"], ["sprayer_fan_speed", "canopy_upper_side"])
        self.assertEqual(table.attrs["units"]["sprayer_fan_speed"], "rpm")
        self.assertEqual(table.attrs["units"]["ground_5_m"], "percent")
        case = drupelet.run(SMALL, set={"weather.wind_speed": "2 m/s", "sprayer.fan.speed": "540 rpm",
                                        "canopy.upper_side": "very_hard", "run.droplets": 1000})
        self.assertAlmostEqual(table.loc[4, "leaf"], 100 * float(case["fates/active_ingredient"][0]), 9)
        self.assertAlmostEqual(table.loc[4, "leaf_standard_error"],
                               100 * float(case["fates/active_ingredient_standard_error"][0]), 9)

    def test_a_plan_of_a_file_and_its_table(self):
        with tempfile.TemporaryDirectory() as folder:
            plan, output = os.path.join(folder, "plan.yaml"), os.path.join(folder, "table.h5")
            with open(plan, "w") as file:
                file.write(f"scenario: {SMALL}\ndroplets: 1000\n"
                           "factors: [{name: wind, key: weather.wind_speed, from: 1 m/s, to: 4 m/s, steps: 3}]\n")
            with self.assertRaises(drupelet.Stopped):
                drupelet.sweep(plan, output=output, threads=1, progress=lambda done, cases: False)
            self.assertTrue(os.path.exists(output + ".journal"))
            told = []
            table = drupelet.sweep(plan, output=output, resume=True, progress=lambda *counts: told.append(counts))
            self.assertEqual(len(told), 2)
            pandas.testing.assert_frame_equal(drupelet.read_sweep(output), table)
            self.assertEqual(list(table["wind"]), [1.0, 2.5, 4.0])
            with self.assertRaises(drupelet.FileError):
                drupelet.sweep(plan, output=output)

    def test_faults_of_plans(self):
        with self.assertRaises(drupelet.ScenarioError) as caught:
            drupelet.sweep(SMALL, {"weather.wind_speed": ["3 m/s", "99 m/s"]})
        self.assertEqual(caught.exception.key, "weather.wind_speed")
        with self.assertRaises(drupelet.ScenarioError):
            drupelet.sweep(SMALL, self.FACTORS, desing="grid")
        with self.assertRaises(TypeError):
            drupelet.sweep("plan.yaml", droplets=1000)


if __name__ == "__main__":
    unittest.main()
