#!/usr/bin/env bash
# The model error that the program holds is made from the committed dossier, and the script sees when it is not. Its
# statistics give known answers, and the program says what the table says.
set -u
python3 -c 'pass' 2>/dev/null || { echo "SKIPPED: python3 is not installed"; exit 77; }
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
faults=0
fault() { echo "FAULT: $*" >&2; faults=$((faults + 1)); }
script=$DRUPELET_SOURCE/scripts/model-error
python3 "$script" --check || fault "the table is not that of docs/validation.csv"

# a dossier with another number makes another table
mkdir -p "$work/docs" "$work/tests/data" "$work/sim/report"
cp "$DRUPELET_SOURCE"/docs/{validation.csv,model-error.md} "$work/docs/"
cp "$DRUPELET_SOURCE/tests/data/field_trials.csv" "$work/tests/data/"
cp "$DRUPELET_SOURCE/sim/report/model_error.csv" "$work/sim/report/"
python3 "$script" --check --root "$work" || fault "a copy of the dossier makes another table"
awk -F, -v OFS=, '/ground_near/ && !done { $(NF - 4) = 2 * $(NF - 4); done = 1 } { print }' "$work/docs/validation.csv" >"$work/new"
cmp -s "$work/new" "$work/docs/validation.csv" && fault "no number was changed"
cp "$work/new" "$work/docs/validation.csv"
python3 "$script" --check --root "$work" 2>/dev/null && fault "a changed number was not seen"
python3 "$script" --root "$work" >/dev/null || fault "the table was not made"
python3 "$script" --check --root "$work" || fault "the table that was made is out of date"

DRUPELET_SCRIPT=$script python3 -B - <<'END' || fault "statistics"
import math
import os
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader

loader = SourceFileLoader("model_error", os.environ["DRUPELET_SCRIPT"])
m = module_from_spec(spec_from_loader("model_error", loader))
loader.exec_module(m)

# Student's distribution: upper points from tables (Abramowitz and Stegun 1964, table 26.10)
for n, share, t in ((1, 0.75, 1.0), (1, 0.975, 12.706), (2, 0.975, 4.303), (3, 0.95, 2.353), (4, 0.95, 2.132),
                    (5, 0.995, 4.032), (10, 0.975, 2.228)):
    assert abs(m.t_below(t, n) - share) < 2e-4, (n, share, t, m.t_below(t, n))


def row(trial, ours, low, high, unit="", in_view=""):
    return {"trial": trial, "ours": str(ours), "published_low": low, "published_high": high, "unit": unit, "in_view": in_view}


# two trials, twice and half: no bias, spread exp(sqrt(2) ln 2); two thirds of another within t = 1.7321 of one degree
two = m.error_of([row("a", 2, "1", "1"), row("b", 1, "2", "2", in_view="scenario")])
assert two["trials"] == 2 and two["trials_in_view"] == 1 and float(two["bias"]) == 1
assert abs(float(two["spread"]) - math.exp(math.sqrt(2) * math.log(2))) < 5e-3
exact = math.exp(math.sqrt(2) * math.log(2) * math.sqrt(1.5) * 1.7321)
assert exact - 0.01 <= float(two["mostly_within"]) <= exact + 0.1  # rounded up to two digits
# many numbers of one trial weigh as much as one of another, and one trial tells no spread
many = m.error_of([row("a", 2, "1", "1")] * 9 + [row("b", 1, "2", "2")])
assert many["trials"] == 2 and many["numbers"] == 10 and many["bias"] == two["bias"] and many["spread"] == two["spread"]
one = m.error_of([row("a", 4, "1", "1"), row("a", 1, "1", "1")])
assert one["trials"] == 1 and float(one["bias"]) == 2 and one["spread"] == "" and float(one["farthest"]) == 4
# errors of opposite sign within a trial do not cancel
both = m.error_of([row("a", 2, "1", "1"), row("a", 1, "2", "2"), row("b", 1, "1", "1")])
assert float(both["spread"]) > 1.5
# a bound counts where it is broken; ranges by their geometric middle; reductions and effects as ratios
below, above = m.log_ratio(row("a", 32, "64", "")), m.log_ratio(row("a", 2, "", "1"))
assert m.log_ratio(row("a", 70, "64", "")) is None and abs(below[0] + math.log(2)) < 1e-12 and below[1]
assert m.log_ratio(row("a", 0.5, "", "1")) is None and abs(above[0] - math.log(2)) < 1e-12 and above[1]
assert abs(m.log_ratio(row("a", 4, "2", "8"))[0]) < 1e-12
assert abs(m.log_ratio(row("a", 50, "75", "75", "percent less"))[0] - math.log(2)) < 1e-12
assert abs(m.log_ratio(row("a", 0.3, "0.5", "0.5", "log units per m/s"))[0] + 0.2) < 1e-12
assert m.error_of([])["trials"] == 0
END

# the program says what the table says
"$DRUPELET_PROGRAM" run "$DRUPELET_SOURCE/tests/data/small-run.yaml" --droplets 1000 --quiet --no-cache \
    --output "$work/small.h5" >"$work/text" || fault "run: exit code $?"
"$DRUPELET_PROGRAM" summary "$work/small.h5" --json >"$work/json" || fault "summary: exit code $?"
"$DRUPELET_PROGRAM" compare "$work/small.h5" "$work/small.h5" >"$work/compared" || fault "compare: exit code $?"
"$DRUPELET_PROGRAM" compare "$work/small.h5" "$work/small.h5" --json >"$work/compared.json" || fault "compare: exit code $?"
printf '%s\n' kind,distance_m,value,unit 'ground,5,2,percent of rate' >"$work/trial.csv"
"$DRUPELET_PROGRAM" score "$work/small.h5" --measured "$work/trial.csv" >"$work/scored" || fault "score: exit code $?"
cp "$DRUPELET_SOURCE/sim/report/model_error.csv" "$work/table.csv"
python3 - "$work" <<'END' || fault "what the program says"
import csv
import json
import re
import sys

work = sys.argv[1]
table = list(csv.DictReader(line for line in open(work + "/table.csv") if not line.startswith("#")))
said = json.load(open(work + "/json"))["model_error"]
text = re.sub(r"\s+", " ", open(work + "/text").read())
assert [row["quantity"] for row in table] == [one["quantity"] for one in said], "one line for each quantity"
for row, one in zip(table, said):
    assert int(row["trials"]) == one["trials"]
    for key in ("bias", "spread", "mostly_within", "farthest"):
        assert (float(row[key]) if row[key] else None) == one[key], (row["quantity"], key)
    if row["quantity"] != "ratio":  # of one result there is none
        assert one["sentence"] in text, one["sentence"]
    if one["trials"] > 1:
        assert f"against {one['trials']} trials mostly within a factor of {one['mostly_within']:.2g}" in one["sentence"]
    if one["trials"] == 0:
        assert "no trial" in one["sentence"]


def words_of(name):
    return re.sub(r"\s+", " ", open(work + "/" + name).read())


# a comparison has that of ratios, too; a score that of what was measured
compared, scored = words_of("compared"), words_of("scored")
assert json.load(open(work + "/compared.json"))["model_error"] == said
for one in said:
    line = f"{one['of']}: {one['sentence']}"
    assert (line in compared) == (one["quantity"] in ("ground_near", "ground_far", "airborne", "on_trees", "ratio")), line
    assert (line in scored) == (one["quantity"] in ("ground_near", "ground_far")), line
END
[ "$faults" -eq 0 ]
