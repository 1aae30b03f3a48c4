#!/usr/bin/env bash
# drupelet run --uncertain: the same bytes for any number of threads, the numbers of a plan written by hand, no share for a
# key without effect, a stop that loses nothing, and bad input refused in one line with nothing written.
set -u
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
scenario=$DRUPELET_SOURCE/tests/data/small-run.yaml
faults=0
fault() { echo "FAULT: $*" >&2; faults=$((faults + 1)); }
coarse=(--set run.wind=profiles --set 'run.air_cell=0.5 m' --set 'canopy.voxel=0.4 m' --set 'run.time_limit=10 s'
        --droplets 1000 --no-cache --quiet) # a case takes a tenth of a second
uncertain() { "$DRUPELET_PROGRAM" run "$scenario" --uncertain --samples 32 "${coarse[@]}" "$@"; }
known=(--known canopy.leaf_area_index --known canopy.bough_variation --known canopy.clumping --known canopy.drag_coefficient --known canopy.turning_speed
       --known canopy.vogel_exponent --known canopy.leaf_response --known canopy.retention --known weather.gusts
       --known weather.roughness --known weather.wind_height --known canopy.leaf_width --known 'tips.*.generic_factor')
asked=(--range 'weather.relative_humidity=40 % to 90 %' --range 'sprayer.tank=500 L to 1500 L')

# any number of threads
uncertain "${known[@]}" "${asked[@]}" --threads 1 --output one.h5 >one.txt || fault "exit code $?"
uncertain "${known[@]}" "${asked[@]}" --threads 2 --output two.h5 >two.txt || fault "exit code $?, two threads"
cmp one.h5 two.h5 || fault "the file depends on the threads"
cmp one.txt two.txt || fault "the text depends on the threads"

# by hand: the same factors in the same order
cat >hand.yaml <<END
scenario: $scenario
design: latin_hypercube
samples: 32
droplets: 1000
set: {run.wind: profiles, run.air_cell: 0.5 m, canopy.voxel: 0.4 m, run.time_limit: 10 s}
factors:
  - {key: weather.relative_humidity, from: 40 %, to: 90 %}
  - {key: sprayer.tank, from: 500 L, to: 1500 L}
  - {key: canopy.wood_area_index, from: 0.05, to: 0.4, spacing: logarithmic}
END
"$DRUPELET_PROGRAM" sweep hand.yaml --output hand.h5 --quiet --no-cache >hand.txt || fault "the plan by hand: exit code $?"
for file in one hand; do
    "$DRUPELET_PROGRAM" tradeoff $file.h5 --csv $file.csv >/dev/null 2>&1 || fault "tradeoff $file"
    grep -v '^#' $file.csv >$file.table
done
[ "$(wc -l <one.table)" -eq 33 ] || fault "a table of 32 cases has 33 lines, found $(wc -l <one.table)"
cmp one.table hand.table || fault "a plan by hand gives other numbers"
"$DRUPELET_PROGRAM" tradeoff one.h5 >one.answers || fault "tradeoff: exit code $?"
grep -q '^  ratio of two settings: ' one.answers || fault "tradeoff does not tell the model error of a ratio"
"$DRUPELET_PROGRAM" tradeoff one.h5 --json | grep -q '"model_error"' || fault "nor in JSON"

# the quantiles are those of the cases
uncertain "${known[@]}" "${asked[@]}" --output one.h5 --resume --json >one.json || fault "--resume of what is complete: exit code $?"
python3 - <<'END' || fault "the answers are not those of the cases"
import csv
import json

rows = list(csv.DictReader(open("one.table")))
answers = json.load(open("one.json"))
assert [i["key"] for i in answers["inputs"]] == ["weather.relative_humidity", "sprayer.tank", "canopy.wood_area_index"]
for headline in answers["headlines"]:
    column = next(name for name in rows[0] if name.split()[0] in (headline["name"], headline["name"] + "_percent"))
    values = sorted(float(row[column]) for row in rows)
    for key, share in (("percent_10", 0.1), ("median", 0.5), ("percent_90", 0.9)):
        at = share * (len(values) - 1)
        i = int(at)
        expected = values[i] + (at - i) * (values[min(i + 1, len(values) - 1)] - values[i])
        assert abs(headline[key] - expected) <= 1e-6 * abs(expected) + 1e-9, (headline["name"], key, headline[key], expected)
    drivers = {d["key"]: d for d in headline["drivers"]}
    assert not drivers["sprayer.tank"]["clear"] and drivers["sprayer.tank"]["share_percent"] == 0
wood = next(h for h in answers["headlines"] if h["name"] == "wood")
best = max(wood["drivers"], key=lambda d: d["share_percent"])
assert best["key"] == "canopy.wood_area_index" and best["rank_coefficient"] > 0 and best["clear"]
END
awk '/^What drives it/ { drives = 1 } drives && /sprayer.tank/ { found = 1 } END { exit found }' one.txt ||
    fault "the tank drives a headline"

# what the file of a measured canopy tells does not vary
"$DRUPELET_PROGRAM" run "$DRUPELET_SCENARIOS/measured-canopy.yaml" --uncertain --samples 32 --set run.wind=profiles \
    --set 'run.air_cell=0.5 m' --set 'run.time_limit=10 s' --droplets 1000 --no-cache --quiet "${known[@]}" \
    --output measured.h5 >measured.txt 2>err && fault "a measured canopy leaves something that varies: $(cat measured.txt)"
grep -q 'every input that could vary is known' err || fault "a measured canopy: $(cat err)"
"$DRUPELET_PROGRAM" run "$DRUPELET_SCENARIOS/measured-canopy.yaml" --uncertain --samples 32 --set run.wind=profiles \
    --set 'run.air_cell=0.5 m' --set 'run.time_limit=10 s' --droplets 1000 --no-cache --quiet --output measured.h5 \
    >measured.txt || fault "a measured canopy: exit code $?"
for key in leaf_area_index bough_variation wood_area_index; do
    grep -q "^  canopy.$key does not vary: the canopy was measured" measured.txt || fault "canopy.$key varies, or is not told"
done

# calm air does not look safe, and what does not vary has no number made up
uncertain "${known[@]}" "${asked[@]}" --set 'weather.wind_speed=0 m/s' --output calm.h5 >calm.txt || fault "calm: exit code $?"
grep -q '^TOO LOW: in 32 cases' calm.txt || fault "32 cases in calm air do not say that their drift is not known"
grep -qi 'nan' calm.txt && fault "calm: $(grep -i nan calm.txt)"

# a stop loses nothing
"$DRUPELET_PROGRAM" run "$scenario" --uncertain --samples 32 "${coarse[@]}" "${known[@]}" "${asked[@]}" --threads 1 \
    --output part.h5 >/dev/null 2>stopped.txt &
job=$!
for _ in $(seq 200); do
    [ "$(stat -c %s part.h5.journal 2>/dev/null || echo 0)" -gt 20000 ] && break
    sleep 0.05
done
kill -INT $job
wait $job
code=$?
[ -e part.h5 ] && fault "the sweep had ended before it could be stopped"
[ $code -eq 130 ] || fault "a stop: exit code $code: $(cat stopped.txt)"
uncertain "${known[@]}" "${asked[@]}" --threads 2 --output part.h5 --resume >/dev/null || fault "--resume: exit code $?"
cmp one.h5 part.h5 || fault "a stopped and resumed sweep has other bytes"

# bad input: one line, exit code 2, nothing written
refused() # words options...
{
    local words=$1
    shift
    "$DRUPELET_PROGRAM" run "$scenario" "$@" --output bad.h5 >out 2>err
    local code=$?
    [ $code -eq 2 ] || fault "$*: exit code $code, expected 2"
    grep -q -- "$words" err || fault "$*: says $(cat err)"
    [ "$(grep -vc 'Try ' err)" -eq 1 ] || fault "$*: more than one line: $(cat err)"
    [ -s out ] && fault "$*: printed something"
    ls bad.h5* >/dev/null 2>&1 && fault "$*: left a file"
}
refused "go with --uncertain" --samples 40
refused "go with --uncertain" --known canopy.clumping
refused "expected a key that varies" --uncertain --known weather.wind_speed
refused "expected KEY=LOW to HIGH" --uncertain --range canopy.clumping=0.7
refused "a key of a scenario that holds a number" --uncertain --range 'canopy.nothing=1 to 2'
refused "from 32 to" --uncertain --samples 5
refused "expected more than from" --uncertain --range 'canopy.clumping=0.8 to 0.7'
cp one.h5 before.h5
uncertain --output one.h5 >out 2>err && fault "an existing file was replaced without --force"
cmp one.h5 before.h5 || fault "an existing file was changed"
[ "$faults" -eq 0 ]
