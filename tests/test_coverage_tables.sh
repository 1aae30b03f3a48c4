#!/usr/bin/env bash
# The tables of docs/coverage.md are those of this build: short runs of scripts/coverage-tables --check agree with them
# within errors. And the check sees a number that is off, a row that is missing, and a row of another name.
set -u
python3 -c 'pass' 2>/dev/null || { echo "SKIPPED: python3 is not installed"; exit 77; }
script=$DRUPELET_SOURCE/scripts/coverage-tables
python3 "$script" --check --program "$DRUPELET_PROGRAM" || exit 1
DRUPELET_SCRIPT=$script python3 -B - <<'END'
import os
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader

loader = SourceFileLoader("coverage_tables", os.environ["DRUPELET_SCRIPT"])
tables = module_from_spec(spec_from_loader("coverage_tables", loader))
loader.exec_module(tables)

rows = [(["wall"], [tables.Number(241.2, 0.0, 0), tables.Number(7.70, 0.04, 2), tables.Number(3.0, 0.02, 2)]),
        (["vines"], [tables.Number(254.0, 0.0, 0), tables.Number(9.10, 0.04, 2), tables.Number(1.7, 0.02, 2)])]
paper = """<!-- runs: t -->
| scenario | L/ha | upper, lower |
| --- | --- | --- |
| wall | 241 | 7.80 +/- 0.02 %, 3.00 +/- 0.01 % |
| vines | 254 | 9.12 +/- 0.02 %, 1.70 +/- 0.01 % |
<!-- end -->
"""


def faults(text, name="t"):
    return len(tables.faults_of(text, name, rows, 80000, 0.0, 20000)[0])


assert faults(paper) == 0
assert faults(paper.replace("7.80", "8.00")) == 1  # 0.3 off with errors of 0.04 and half of it
assert faults(paper.replace("254", "255")) == 1  # without an error of its own
assert faults(paper.replace("vines", "citrus")) == 1
assert faults("\n".join(line for line in paper.splitlines() if "wall" not in line)) == 1
assert faults(paper, "other") == 1
print("6 papers read")
END
