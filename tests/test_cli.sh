#!/usr/bin/env bash
# The real program: exit codes, streams, help, bad usage, bad scenarios, and that nothing is left half-written.
set -u
program=$DRUPELET_PROGRAM
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
scenario=$work/apple-wall-full-leaf.yaml # a path without blanks, wherever the project lies
cp "$DRUPELET_SCENARIOS/apple-wall-full-leaf.yaml" "$scenario" || exit 1
mkdir "$work/here"
cd "$work/here" || exit 1
streams=$work
. "$DRUPELET_SOURCE/tests/calls.sh"
folder_holds()
{
    local found
    found=$(ls -A | tr '\n' ' ')
    [ "$found" = "$*${*:+ }" ] || fault "the folder holds '$found', expected '$*'"
}
few="--droplets 2000 --threads 1"
export XDG_CACHE_HOME=$work/cache # one wind is solved once

# help and version
for arguments in --help -h "run --help" "settings --help" "leaf --help" "draw --help" "verify --help" "run -h" \
    "canopy --help" "score --help" "sweep --help" "tradeoff --help"; do
    expect 0 $arguments
    out_has '^Usage: drupelet'
    err_is_empty
done
expect 0 --version
out_has '^drupelet [0-9]+\.[0-9]+\.[0-9]+$'

expect 0 --help
cp "$work/out" "$work/usage"
for arguments in help "help help" "help --help"; do
    expect 0 $arguments
    err_is_empty
    cmp -s "$work/out" "$work/usage" || fault "drupelet $arguments prints another text than drupelet --help"
done
commands=$(sed -n '/^Commands:/,/^$/s/^  \([a-z]*\) .*/\1/p' "$work/usage")
[ "$(wc -w <<<"$commands")" -ge 11 ] || fault "--help lists too few commands: $commands"
for command in $commands; do
    [ "$command" = help ] && continue
    expect 0 $command --help
    cp "$work/out" "$work/usage"
    expect 0 help $command
    err_is_empty
    cmp -s "$work/out" "$work/usage" || fault "drupelet help $command prints another text than its --help"
done
grep -qE '^  report .* sweep' <("$program" --help) || fault "--help does not say that report takes a sweep"
expect 2 help rnu
out_is_empty
err_has "unknown command 'rnu'; did you mean 'run'\?"
expect 2 help moonshine
out_is_empty
err_has "^drupelet help: unknown command 'moonshine'$"
expect 2 help run settings
out_is_empty
err_has "found 'settings' after 'run'"

# bad usage: exit 2, nothing on standard output, where to look on standard error
s=$scenario
for arguments in "" "--nonsense" "launch" "run" "run --nonsense $s" "run $s $s" "run --droplets 0 $s" \
    "run --droplets 1.5 $s" "run --droplets 0x10 $s" "run --droplets 2e13 $s" "run --droplets -5 $s" "run --droplets 64 $s" \
    "run --seed -1 $s" "run --seed 1e3 $s" "run --seed 18446744073709551616 $s" "run --threads 0 $s" \
    "run --threads two $s" "run --set nothing $s" "run --set =3 $s" "run --output" "settings" "settings $s $s" \
    "settings --output x $s" "leaf" "leaf $s $s" "leaf --list $s" "draw" "draw a b" "verify extra" \
    "canopy" "canopy $s $s" "canopy --output trees.txt $s" \
    "canopy --set nothing $s" "score" "score a.h5" "score --measured t.csv" "score --measured t.csv a.h5 b.h5" \
    "score --measured t.csv --output x --svg x a.h5"; do
    expect 2 $arguments
    out_is_empty
    err_has '(--help|COMMAND)'
done
expect 2 rnu
err_has "did you mean 'run'"
expect 2 setings
err_has "did you mean 'settings'"
folder_holds

# bad input files: exit 2 and a reason
expect 2 run missing.yaml
err_has 'missing\.yaml: .*No such file'
expect 2 run "$work"
err_has 'folder'
expect 2 draw missing.h5
err_has 'missing\.h5: .*No such file'
printf 'orchard:\n  rows: minus three\n' >"$work/bad.yaml"
expect 2 run "$work/bad.yaml"
out_is_empty
err_has "^$work/bad\.yaml:2:[0-9]+: orchard\.rows: "
[ "$(wc -l <"$work/err")" -eq 1 ] || fault "a bad scenario should give one line"
expect 2 settings "$work/bad.yaml"
err_has 'bad\.yaml:2:[0-9]+: orchard\.rows: '
printf 'orchard: [\n' >"$work/broken.yaml"
expect 2 run "$work/broken.yaml"
err_has 'broken\.yaml:[0-9]+:[0-9]+: '
expect 2 run --set 'weather.wind_sped=2 m/s' "$scenario"
err_has 'wind_speed'
expect 2 run --set 'weather.wind_speed=2 bar' "$scenario"
err_has 'wind_speed'
printf 'no result at all\n' >"$work/no.h5"
expect 2 draw "$work/no.h5"
err_has 'no\.h5'
folder_holds

# outputs that cannot be: refused before the run, so a huge one returns at once
printf 'old\n' >old.h5
expect 2 run --droplets 1e12 --output old.h5 "$scenario"
err_has 'old\.h5: exists'
[ "$(cat old.h5)" = old ] || fault "an existing file was changed"
expect 2 run --droplets 1e12 --output "$work" "$scenario"
expect 2 run --droplets 1e12 --output nowhere/new.h5 "$scenario"
err_has 'nowhere'
expect 2 run --droplets 1e12 --output /dev/null --force "$scenario"
if [ "$(id -u)" -ne 0 ]; then
    mkdir -m 555 "$work/locked"
    expect 2 run --droplets 1e12 --output "$work/locked/new.h5" "$scenario"
    err_has 'cannot write'
fi
folder_holds old.h5
rm old.h5

# the settings sheet
expect 0 settings "$scenario"
out_has 'L/ha'
err_is_empty
cp "$work/out" "$work/sheet"
expect 0 settings --set 'sprayer.pressure=12 bar' "$scenario"
cmp -s "$work/out" "$work/sheet" && fault "--set changed nothing"
expect 0 settings --json "$scenario"
out_has '^\{'
for rate in '300 L/ha' '32.07 gal/acre' '32.07 gpa' '300 l/ha'; do
    expect 0 settings --rate "$rate" "$scenario"
    out_has 'Settings for 300 L/ha'
    out_has '11\.0 bar .*01 orange'
    err_is_empty
done
expect 0 settings --rate '300 L/ha' --speed '4 mph' --spacing '12 ft' --split equal --json "$scenario"
out_has '^\{'
out_has '"row_spacing_m": 3\.6576'
expect 0 settings --set 'sprayer.travel_speed=5 km/h' --speed '7 km/h' "$scenario"
out_has 'Travel speed 7\.0 km/h'
for bad in '300' '300 m/s' '5 L/ha' '20000 L/ha' '-300 L/ha' 'much' ''; do
    expect 2 settings --rate "$bad" "$scenario"
    out_is_empty
    err_has '^drupelet settings: --rate: found .*, expected an application rate from 10 L/ha to 10000 L/ha'
done
expect 2 settings --rate '300 L/ha' --speed '20 km/h' "$scenario"
err_has '^drupelet settings: --speed: found .20 km/h., expected a speed'
expect 2 settings --rate '300 L/ha' --spacing '3.5 bar' "$scenario"
err_has '^drupelet settings: --spacing: found'
expect 2 settings --rate '300 L/ha' --split some "$scenario"
err_has 'scenario or equal'
expect 2 settings --split equal "$scenario"
err_has '--rate'
expect 2 settings --rate '300 L/ha' --spacing '1 m' "$scenario" # the trees are wider
err_has 'canopy\.width: '
out_is_empty
expect 2 run --set 'sprayer.nozzles=[{tip: fine cone, offset: 0.5 m, height: 1 m, angle: 0, plugged: yes}]' "$scenario"
err_has 'all plugged'
folder_holds

# outcomes at the leaf
expect 0 leaf "$scenario"
out_has '^Upper side: a adheres'
err_is_empty
cp "$work/out" "$work/sheet"
expect 0 leaf --set canopy.leaf=cabbage "$scenario" # its sides are given, and stand
cmp -s "$work/out" "$work/sheet" || fault "a leaf by name moved a side that is given"
expect 0 leaf --set liquid.surfactant=wetter "$scenario"
cmp -s "$work/out" "$work/sheet" && fault "the surfactant changed nothing"
expect 0 leaf --list
out_has '^  pear '
folder_holds

# a run: summary on standard output, the file's name on standard error
expect 0 run $few "$scenario"
out_has '[Ll]ea(f|ves)'
err_has 'wrote apple-wall-full-leaf\.h5'
grep -q $'\r' "$work/err" && fault "progress was drawn though standard error is no terminal"
folder_holds apple-wall-full-leaf.h5
cp "$work/out" "$work/summary"
expect 2 run $few "$scenario"
err_has '--force'
expect 0 run $few --force --quiet "$scenario"
cmp -s "$work/out" "$work/summary" || fault "the same run printed another summary"
err_is_empty
expect 0 run --droplets 2e3 --threads 2 --output two.h5 --quiet "$scenario"
cmp -s two.h5 apple-wall-full-leaf.h5 || fault "2e3 droplets on two threads gave another file than 2000 on one"
expect 0 run $few --seed 18446744073709551615 --output seed.h5 --json --quiet "$scenario"
out_has '^\{'
cmp -s seed.h5 two.h5 && fault "another seed gave the same file"
expect 0 run $few --set 'weather.wind_speed=5 m/s' --output wind.h5 --quiet "$scenario"
cmp -s "$work/out" "$work/summary" && fault "another wind gave the same summary"
cp "$work/out" "$work/last"
expect 0 run $few --set 'weather.wind_speed=1 m/s' --set 'weather.wind_speed=5 m/s' --output wind.h5 --force --quiet \
    "$scenario"
cmp -s "$work/out" "$work/last" || fault "the last --set of a key should count"
folder_holds apple-wall-full-leaf.h5 seed.h5 two.h5 wind.h5

# a target error: stops by itself, says so, and when the droplets do not do
expect 0 run --target-error 4% --threads 2 --output target.h5 "$scenario"
out_has '^airborne_5_m is known to [0-9.]+ % \(relative standard error\); 4 % was the target$'
grep -q 'not reached' "$work/err" && fault "a target that was reached is said to be missed"
expect 0 run --set 'run.target_error=4%' --threads 1 --output other.h5 --quiet "$scenario"
cmp -s target.h5 other.h5 || fault "--target-error and run.target_error gave two files"
expect 0 run --target-error 1% --set run.target=ground_row --droplets 2048 --output other.h5 --force --json "$scenario"
for line in '"name": "ground_row"' '"error_wanted_percent": 1' '"error_percent": [0-9.]+' '"reached": false'; do
    out_has "^    $line,\$"
done
err_has 'the target error was not reached with 2048 droplets: [0-9.]+ %'
expect 2 run --target-error 0 --output no.h5 "$scenario"
err_has 'run\.target_error: found 0, expected a share from 0\.01 % to 50 %'
expect 2 run --set run.target=leaf --output no.h5 "$scenario"
err_has 'run\.target: found this key, expected run\.target_error beside it'
# too few droplets for many sprays: the place of the key, or the option
{
    sed '/side: both, tip: fine cone/d; /^  nozzles:/q' "$scenario"
    for i in $(seq 40); do
        echo "    - {side: left, tip: fine cone, offset: 0.5 m, height: 1 m, angle: $i deg, pressure: $((50 + i))e-1 bar}"
    done
    sed '1,/^  nozzles:/d; /side: both, tip: fine cone/d; s/droplets: 200000/droplets: 1100/' "$scenario"
} >"$work/many.yaml"
expect 2 run --output no.h5 "$work/many.yaml"
err_has '^[^ ]*many\.yaml:[0-9]+:13: run\.droplets: found 1100, expected at least 1280 for this sprayer'
expect 2 run --set run.droplets=1000 --output no.h5 "$work/many.yaml"
err_has '^--set run\.droplets=1000: run\.droplets: found 1000, expected at least 1280'
expect 2 run --droplets 1000 --output no.h5 "$work/many.yaml"
err_has '^[^ ]*many\.yaml: droplets: found 1000, expected at least 1280'
rm -f target.h5 other.h5

# a picture
expect 0 draw two.h5
err_has 'wrote two\.svg'
grep -q '<svg' two.svg || fault "two.svg is no SVG file"
expect 2 draw two.h5
err_has 'two\.svg: exists'
expect 0 draw two.h5 --force --output two.svg
expect 0 draw --output other.svg two.h5
cmp -s two.svg other.svg || fault "the same result gave two pictures"
folder_holds apple-wall-full-leaf.h5 other.svg seed.h5 two.h5 two.svg wind.h5
rm -- *

# a canopy to a file and back; bad canopy files
expect 0 canopy --set orchard.rows=1 --output trees.csv "$scenario"
out_has 'leaf area index +1\.7,'
err_has 'wrote trees\.csv'
grep -q '^# .*licensed adviser' trees.csv || fault "trees.csv lacks the caution"
expect 2 canopy "$scenario" --output trees.csv
err_has 'trees\.csv: exists'
expect 0 canopy "$scenario" --output trees.h5
sed -E '/^  (crown|leaf_area_index|gaps):/d; s/^canopy:/&\n  measured: trees.csv/' "$scenario" >measured.yaml
expect 0 run $few measured.yaml
out_has '[Ll]ea(f|ves)'
expect 0 run $few --quiet --set canopy.measured=trees.h5 --output back.h5 measured.yaml
cp "$work/out" "$work/back"
expect 0 run $few --quiet --output grown.h5 "$scenario"
cmp -s "$work/out" "$work/back" || fault "a canopy written and read back gave another result"
expect 0 settings measured.yaml
expect 2 run $few --output no.h5 --set canopy.measured=nowhere.csv measured.yaml
err_has '^--set canopy\.measured=nowhere\.csv: canopy\.measured: found nowhere\.csv, .*No such file'
sed '12s/,[^,]*,/,x,/' trees.csv >bad.csv
expect 2 run $few --output no.h5 --set canopy.measured=bad.csv measured.yaml
err_has '^bad\.csv:12:[0-9]+: [xyz]: found x, expected '
[ "$(wc -l <"$work/err")" -eq 1 ] || fault "a bad canopy file should give one line"
expect 2 canopy --output no.h5 --set canopy.measured=bad.csv measured.yaml
folder_holds back.h5 bad.csv grown.h5 measured.h5 measured.yaml trees.csv trees.h5

# a trial beside a result; bad measurements
printf 'kind,distance_m,row,value,unit,floor\nground,3,,10,percent of rate,0.1\ncanopy,,1,4,percent of output,\n' >trial.csv
expect 0 score back.h5 --measured trial.csv --output pairs.csv --svg pairs.svg
out_has 'within a factor of two'
out_has 'licensed adviser'
err_has 'wrote pairs\.csv'
err_has 'wrote pairs\.svg'
grep -q '<svg' pairs.svg || fault "pairs.svg is no SVG file"
[ "$(grep -cv '^#' pairs.csv)" -eq 3 ] || fault "pairs.csv should hold a line for each measurement"
expect 2 score back.h5 --measured trial.csv --svg pairs.svg
err_has 'pairs\.svg: exists'
expect 0 score back.h5 --measured trial.csv
expect 2 score trial.csv --measured trial.csv
err_has 'trial\.csv: is no result'
expect 2 score back.h5 --measured nowhere.csv
err_has 'nowhere\.csv: .*No such file'
sed '2s/10/ten/' trial.csv >wrong.csv
expect 2 score back.h5 --measured wrong.csv --output no.csv --svg no.svg
out_is_empty
err_has '^wrong\.csv:2:11: value: found ten, expected '
folder_holds back.h5 bad.csv grown.h5 measured.h5 measured.yaml pairs.csv pairs.svg trees.csv trees.h5 trial.csv wrong.csv
rm -- *

# full disk and closed standard output are failures
if [ -c /dev/full ]; then
    for arguments in --help --version "settings $scenario" "run $few --force $scenario"; do
        code=0
        "$program" $arguments >/dev/full 2>"$work/err" || code=$?
        [ "$code" -eq 1 ] || fault "drupelet $arguments on a full disk: exit code $code, expected 1"
        err_has 'standard output'
    done
fi
code=0
"$program" settings "$scenario" >&- 2>"$work/err" || code=$?
[ "$code" -eq 1 ] || fault "closed standard output: exit code $code, expected 1"
code=0
"$program" run $few --force "$scenario" >&- 2>&- <&- || code=$?
[ "$code" -eq 1 ] || fault "all streams closed: exit code $code, expected 1"
folder_holds apple-wall-full-leaf.h5
[ "$(head -c 4 apple-wall-full-leaf.h5 | tail -c 3)" = HDF ] || fault "closed streams spoilt the result"
rm -- *

# interrupted: 130, and neither a new file nor a changed old one. timeout passes the exit code of what it stops; in the
# foreground it signals that alone, once: a second signal, to the group, would end the program at once
for signal in INT TERM; do
    code=0
    timeout --foreground --preserve-status -s $signal 2 "$program" run --droplets 1e9 "$scenario" >"$work/out" 2>"$work/err" ||
        code=$?
    [ "$code" -eq 130 ] || fault "stopped by $signal: exit code $code, expected 130: $(head -c 400 "$work/err")"
    out_is_empty
    err_has 'interrupted'
    folder_holds
done
printf 'old\n' >old.h5
code=0
timeout --foreground --preserve-status -s INT 2 "$program" run --droplets 1e9 --output old.h5 --force "$scenario" >/dev/null 2>&1 ||
    code=$?
[ "$code" -eq 130 ] || fault "stopped while replacing: exit code $code, expected 130"
[ "$(cat old.h5)" = old ] || fault "an interrupted run changed the old result"
(timeout -s KILL 2 "$program" run --droplets 1e9 --output old.h5 --force "$scenario") >/dev/null 2>&1
[ "$(cat old.h5)" = old ] || fault "a killed run changed the old result"
folder_holds old.h5
rm -- *

# a limit on the size of files stands for a disk that fills while the result is written
code=0
(ulimit -f 8; trap '' XFSZ; exec "$program" run $few --quiet "$scenario") >"$work/out" 2>"$work/err" || code=$?
[ "$code" -eq 1 ] || fault "disk full during the write: exit code $code, expected 1"
folder_holds

echo "$checks calls, $faults faults"
[ "$faults" -eq 0 ]
