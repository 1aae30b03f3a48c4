#!/usr/bin/env bash
# drupelet sweep as a user meets it: plans and their faults, the same bytes whatever happens on the way, kill -9 at ten
# moments, failing cases, changed plans, shards, a full disk.
set -u
program=$DRUPELET_PROGRAM
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cp "$DRUPELET_TEST_DATA/scenario-small.yaml" "$work/base.yaml" || exit 1
cd "$work" || exit 1
export XDG_CACHE_HOME=$work/cache # one wind is solved once
. "$DRUPELET_SOURCE/tests/calls.sh"
err_lines() { [ "$(wc -l <err)" -eq "$1" ] || fault "standard error has not $1 line(s): $(head -c 400 err)"; }
gone() { [ ! -e "$1" ] || fault "$1 should not be there"; }

# A plan of little cases: coarse air, short flights. Arguments: lines to add
plan()
{
    printf '%s\n' 'scenario: base.yaml' \
        'set: {run.air_cell: 0.5 m, canopy.voxel: 0.4 m, run.time_limit: 10 s, canopy.tree_variation: 0 %}' \
        'droplets: 1000' "$@"
}
wind='  - {key: weather.wind_speed, values: [1 m/s, 2 m/s, 3 m/s]}'
humid='  - {key: weather.relative_humidity, values: [30 %, 90 %]}'

# the plan is refused before anything runs, with its line and column
bad() # message, lines of the plan
{
    local message=$1
    shift
    plan "$@" >bad.yaml
    expect 2 sweep bad.yaml
    err_has "$message"
    err_lines 1
    gone bad.h5
    gone bad.h5.journal
}
bad '^bad\.yaml:[0-9]+:[0-9]+: factors: found nothing, expected a list'
bad '^bad\.yaml:4:1: factor: found an unknown key, expected factors' 'factor:' "$wind"
bad '^bad\.yaml:5:11: weather\.wind_sped: found an unknown key, expected wind_speed' 'factors:' \
    '  - {key: weather.wind_sped, values: [1 m/s]}' 
bad '^bad\.yaml:5:47: weather\.wind_speed: found 99 m/s, expected a speed from 0 m/s to 15 m/s' 'factors:' \
    '  - {key: weather.wind_speed, values: [1 m/s, 99 m/s]}'
bad '^bad\.yaml:5:47: weather\.wind_speed: found 3 bar, expected a speed' 'factors:' \
    '  - {key: weather.wind_speed, values: [1 m/s, 3 bar]}'
bad '^bad\.yaml:6:47: canopy\.base: found 3\.5 m, expected less than canopy\.height' 'factors:' "$wind" \
    '  - {key: canopy.base, values: [0.6 m, 1.0 m, 3.5 m]}'
bad '^bad\.yaml:5:37: factors\.0\.from: found 5 bar, expected a speed' 'factors:' \
    '  - {key: weather.wind_speed, from: 5 bar, to: 6 m/s, steps: 3}'
bad '^bad\.yaml:5:47: liquid\.nonvolatile: found 0\.5 without its %, expected a share .*: 0\.5 % or 50 %' 'factors:' \
    '  - {key: liquid.nonvolatile, values: [0.5 %, 0.5]}'
bad '^bad\.yaml:5:37: factors\.0\.from: found 0\.5, expected a share \(in %\)' 'factors:' \
    '  - {key: liquid.nonvolatile, from: 0.5, to: 2 %, steps: 3}'
bad '^bad\.yaml:5:48: factors\.0\.to: found 1 m/s, expected more than from' 'factors:' \
    '  - {key: weather.wind_speed, from: 3 m/s, to: 1 m/s, steps: 3}'
bad 'factors\.0\.steps: found nothing, expected the number of values' 'factors:' \
    '  - {key: weather.wind_speed, from: 1 m/s, to: 3 m/s}'
bad 'factors\.0\.distribution: found this key, expected design: latin_hypercube or sobol' 'factors:' \
    '  - {key: weather.wind_speed, distribution: uniform, low: 1 m/s, high: 3 m/s}'
bad 'factors\.0\.mean: found 9 m/s, expected a mean between low and high' 'design: latin_hypercube' 'samples: 4' \
    'factors:' '  - {key: weather.wind_speed, distribution: normal, mean: 9 m/s, standard_deviation: 1 m/s, low: 1 m/s, high: 3 m/s}'
bad 'found 0 m/s, expected a deviation above 0' 'design: sobol' 'samples: 4' 'factors:' \
    '  - {key: weather.wind_speed, distribution: normal, mean: 2 m/s, standard_deviation: 0 m/s}'
bad 'factors\.0\.from: found this key, expected values or options' 'factors:' \
    '  - {key: canopy.crown, from: 1 m/s, to: 3 m/s, steps: 2}'
bad 'found run\.seed, expected another key' 'factors:' '  - {key: run.seed, values: [1, 2]}'
bad 'a name that no other factor has' 'factors:' "$wind" "$wind"
bad '^bad\.yaml:4:9: design: found grids, expected grid, listed' 'design: grids' 'factors:' "$wind"
bad 'samples: found nothing, expected the number of points' 'design: sobol' 'factors:' "$wind"
bad 'indices: found this key, expected design: sobol' 'indices: yes' 'factors:' "$wind"
bad 'cases\.1\.weather\.relative_humidity: found nothing, expected a value in every case' 'design: listed' 'cases:' \
    '  - {weather.wind_speed: 1 m/s, weather.relative_humidity: 50 %}' '  - {weather.wind_speed: 2 m/s}'
bad 'found a key that the first case has not' 'design: listed' 'cases:' '  - {weather.wind_speed: 1 m/s}' \
    '  - {weather.wind_speed: 2 m/s, weather.relative_humidity: 50 %}'
printf 'scenario: nowhere.yaml\nfactors:\n%s\n' "$wind" >bad.yaml
expect 2 sweep bad.yaml
err_has '^bad\.yaml:1:11: scenario: found nowhere\.yaml, expected the file of a scenario \(No such file'
printf 'orchard: {rows: many}\n' >bad-base.yaml
printf 'scenario: bad-base.yaml\nfactors:\n%s\n' "$wind" >bad.yaml
expect 2 sweep bad.yaml
err_has '^bad-base\.yaml:1:17: orchard\.rows: found many'
printf 'scenario: [\n' >bad.yaml
expect 2 sweep bad.yaml
err_has '^bad\.yaml:[0-9]+:[0-9]+: found text that is no YAML'
: >bad.yaml
expect 2 sweep bad.yaml
err_has 'a plan: scenario, design, factors'
expect 2 sweep missing.yaml
expect 2 sweep "$work"

# bad usage
plan 'name: Small' 'factors:' "$wind" "$humid" >plan.yaml
for arguments in "" "plan.yaml plan.yaml" "--threads 0 plan.yaml" "--shard 3/2 plan.yaml" "--shard 0/2 plan.yaml" \
    "--shard 2 plan.yaml" "--merge 0 plan.yaml" "--merge 2 --resume plan.yaml" "--changed plan.yaml" \
    "--retry plan.yaml" "--shard 1/2 --csv x.csv plan.yaml" "--csv plan.h5 plan.yaml"; do
    expect 2 sweep $arguments
    err_has '--help'
done
expect 2 sweep --output nowhere/x.h5 plan.yaml
printf 'old\n' >old.h5
expect 2 sweep --output old.h5 plan.yaml
err_has 'old\.h5: exists'
[ "$(cat old.h5)" = old ] || fault "an existing file was changed"

# the air that the spray sets moving follows from the weather; without it only the wind makes another air
sed 's/^set: {/&run.spray_air: no, /' plan.yaml >still.yaml
expect 0 sweep --dry-run still.yaml
out_has '^6 cases: 6 points, 1 replicate, 3 airs'

# a dry run lists every case and leaves nothing
expect 0 sweep --dry-run plan.yaml
out_has '^6 cases: 6 points, 1 replicate, 6 airs'
out_has '^ +6  3 m/s  90 %  1$'
out_has '^About .* on [0-9]+ thread'
gone plan.h5
gone plan.h5.journal

# the same bytes for any number of threads
expect 0 sweep --threads 1 --csv one.csv -o one.h5 plan.yaml
out_has '6 cases, 6 done, 0 failed'
err_has 'wrote one\.h5'
gone one.h5.journal
expect 0 sweep --threads 3 --quiet -o three.h5 plan.yaml
[ ! -s err ] || fault "--quiet should say nothing"
same one.h5 three.h5 "only the number of threads does"
[ "$(grep -vc '^#' one.csv)" -eq 7 ] || fault "one.csv should hold a line for each case"
grep -q '^case,point,.*,weather_wind_speed \[m/s\],weather_relative_humidity \[%\],.*,leaf \[percent\],' one.csv ||
    fault "one.csv lacks units"
grep -q '^# .*licensed adviser' one.csv || fault "one.csv lacks the caution"
expect 0 sweep --resume -o one.h5 plan.yaml
err_has 'complete already'

# a case of a sweep is the run with the same settings
expect 0 run base.yaml --set 'run.air_cell=0.5 m' --set 'canopy.voxel=0.4 m' --set 'run.time_limit=10 s' \
    --set 'canopy.tree_variation=0 %' --set run.droplets=1000 --set 'weather.wind_speed=2 m/s' \
    --set 'weather.relative_humidity=90 %' --set run.seed=1 --json --quiet -o run.h5
leaf=$(awk -F, '$1 == 4 {print $10}' one.csv)
python3 - "$leaf" <<'END' || fault "case 4 has not the leaf deposit of the run: $leaf"
import json, sys
run = json.load(open("out"))
text = json.dumps(run)
want = float(sys.argv[1])
def numbers(x):
    if isinstance(x, dict):
        for v in x.values():
            yield from numbers(v)
    elif isinstance(x, list):
        for v in x:
            yield from numbers(v)
    elif isinstance(x, (int, float)):
        yield float(x)
sys.exit(0 if any(abs(v - want) < 2e-4 * want or abs(100 * v - want) < 2e-4 * want for v in numbers(run)) else 1)
END

# kill -9 at ten moments; every time --resume goes on; no finished case is computed again
plan 'factors:' '  - {key: weather.wind_speed, from: 1 m/s, to: 4 m/s, steps: 4}' \
    '  - {key: weather.relative_humidity, from: 20 %, to: 90 %, steps: 15}' >many.yaml
expect 0 sweep --keep-journal -o whole.h5 many.yaml
size_of() { stat -c %s "$1" 2>/dev/null || echo 0; }
kills=0
for moment in 0 1 0.03 2 0.01 1 3 0.05 1 2; do # a whole number: so many cases later; else so many seconds later
    before=$(size_of killed.h5.journal)
    "$program" sweep --resume --quiet --threads 2 -o killed.h5 many.yaml >out 2>err &
    victim=$!
    if [[ $moment == *.* ]]; then
        sleep "$moment"
    else
        until [ "$(size_of killed.h5.journal)" -gt $((before + 2000 * moment)) ] || ! kill -0 $victim 2>/dev/null; do
            sleep 0.002
        done
    fi
    kill -KILL $victim 2>/dev/null
    wait $victim 2>/dev/null
    [ -e killed.h5 ] || kills=$((kills + 1))
done
[ "$kills" -ge 8 ] || fault "only $kills of the kills came before the end"
expect 0 sweep --resume --keep-journal -o killed.h5 many.yaml
err_has '^drupelet: [1-9][0-9]* of 60 cases are done already'
same whole.h5 killed.h5 "it was killed ten times on the way"
[ "$(stat -c %s whole.h5.journal)" -eq "$(stat -c %s killed.h5.journal)" ] || fault "a finished case was computed again"

# a torn end is cut off, wherever it is torn
size=$(stat -c %s whole.h5.journal)
for cut in 1 7 12 13 100 2000 3100; do
    head -c $((size - cut)) whole.h5.journal >torn.h5.journal
    expect 0 sweep --resume -o torn.h5 many.yaml
    err_has '^drupelet: 5[0-9] of 60 cases are done already'
    err_has '^drupelet: torn\.h5\.journal: [1-9][0-9]* bytes of damaged or torn records were passed over'
    same whole.h5 torn.h5 "its journal was torn $cut bytes before the end"
    rm -f torn.h5
done
if [ "$(id -u)" -ne 0 ]; then # root may write everywhere
    cp whole.h5.journal torn.h5.journal
    chmod 444 torn.h5.journal
    expect 1 sweep --resume -o torn.h5 many.yaml
    err_has 'torn\.h5\.journal: cannot be opened to be written on: Permission denied'
    rm -f torn.h5.journal
fi
printf 'no journal' >torn.h5.journal
expect 1 sweep --resume -o torn.h5 many.yaml
err_has 'torn\.h5\.journal: is no journal'
expect 2 sweep -o torn.h5 many.yaml
err_has '--resume goes on .*--force begins anew'
rm torn.h5.journal

# a polite stop keeps what is finished
code=0
"$program" sweep -o stopped.h5 many.yaml >out 2>err &
victim=$!
until [ "$(size_of stopped.h5.journal)" -gt 6000 ] || ! kill -0 $victim 2>/dev/null; do
    sleep 0.002
done
kill -INT $victim
wait $victim || code=$?
[ "$code" -eq 130 ] || fault "stopped: exit code $code, expected 130: $(head -c 300 err)"
err_has 'interrupted; [0-9]+ of 60 cases are kept in stopped\.h5\.journal; --resume'
gone stopped.h5

# a changed plan is refused, unless told; what is the same is kept
plan 'name: Small' 'factors:' "$wind" '  - {key: weather.relative_humidity, values: [30 %, 90 %, 60 %]}' >more.yaml
cp plan.yaml changing.yaml
expect 0 sweep --keep-journal -o changing.h5 changing.yaml
rm changing.h5
cp more.yaml changing.yaml
expect 2 sweep --resume -o changing.h5 changing.yaml
err_has 'another state of the plan.*--changed keeps'
expect 0 sweep --resume --changed --keep-journal -o changing.h5 changing.yaml
err_has '^drupelet: 6 of 9 cases are done already'
expect 0 sweep -o more.h5 more.yaml
same more.h5 changing.h5 "six of its cases came from the old journal"
sed 's/^  leaf_area_index: 1.5/  leaf_area_index: 1.4/' base.yaml >other && mv other base.yaml
rm changing.h5
expect 2 sweep --resume -o changing.h5 changing.yaml
err_has 'another state of the plan'
cp "$DRUPELET_TEST_DATA/scenario-small.yaml" base.yaml
echo '# a remark changes nothing' >>changing.yaml
expect 0 sweep --resume -o changing.h5 changing.yaml
err_has '^drupelet: 9 of 9 cases are done already'

# a case that fails is recorded with its reason, and the others go on
plan 'factors:' '  - {name: size, options: {good: {orchard.rows: 2}, bad: {orchard.rows: 40, orchard.row_spacing: 15 m, run.air_cell: 0.05 m, canopy.height: 12 m, canopy.voxel: 0.5 m}}}' \
    "$humid" >failing.yaml
expect 1 sweep --csv failing.csv -o failing.h5 failing.yaml
out_has '4 cases, 2 done, 2 failed'
err_has 'case 3 failed: .*run\.air_cell: too fine'
[ "$(grep -c ',failed,' failing.csv)" -eq 2 ] || fault "failing.csv should have two failed cases"
[ -e failing.h5.journal ] || fault "the journal of a sweep with failures should stay, for --retry"
expect 1 sweep --resume -o failing.h5 failing.yaml
err_has '4 of 4 cases are done already'
expect 1 sweep --resume --retry -o failing.h5 failing.yaml
err_has '2 of 4 cases are done already'

# shards and their merge
for i in 1 2 3; do
    expect 0 sweep --shard $i/3 -o shards.h5 many.yaml
    err_has "wrote shards\.h5\.shard-$i-of-3\.journal"
    [ $i -ne 2 ] || {
        expect 1 sweep --merge 3 -o shards.h5 many.yaml
        err_has 'shard-3-of-3\.journal: cannot be read'
    }
done
gone shards.h5
expect 1 sweep --merge 2 -o shards.h5 many.yaml
expect 0 sweep --merge 3 -o shards.h5 many.yaml
same whole.h5 shards.h5 "it was done in three shards"
gone shards.h5.shard-1-of-3.journal

# a disk that fills: a limit on the size of files stands for it
code=0
(ulimit -f 60; trap '' XFSZ; exec "$program" sweep -o full.h5 many.yaml) >out 2>err || code=$?
[ "$code" -eq 1 ] || fault "disk full: exit code $code, expected 1"
err_has 'full\.h5\.journal: cannot be written'
err_has '[1-9][0-9]* of 60 cases are kept in full\.h5\.journal; --resume'
gone full.h5
expect 0 sweep --resume -o full.h5 many.yaml
same whole.h5 full.h5 "the disk was full on the way"
code=0
cp whole.h5.journal full2.h5.journal
(ulimit -f 100; trap '' XFSZ; exec "$program" sweep --resume -o full2.h5 many.yaml) >out 2>err || code=$?
[ "$code" -eq 1 ] || fault "disk full at the result: exit code $code, expected 1: $(head -c 300 err)"
err_has 'full2\.h5: cannot be written'
gone full2.h5
[ -e full2.h5.journal ] || fault "the journal was lost with the full disk"
[ -z "$(ls -A | grep tmp)" ] || fault "a draft was left: $(ls -A | grep tmp)"

# profiles, whole results, replicates, listed cases, structural factors
plan 'keep: full' 'replicates: 2' 'design: listed' 'factors:' \
    '  - {name: tip, key: tips, options: {fine: {red cone: {kind: hollow_cone, size: "01"}}, coarse: {red cone: {kind: air_induction_hollow_cone, size: "02"}}}}' \
    'cases:' '  - {tip: fine, sprayer.alleys: [0, 1]}' '  - {tip: coarse, sprayer.alleys: all}' >full.yaml
sed -i 's/sprayer.alleys: all/sprayer.alleys: [1]/' full.yaml
expect 0 sweep -o kept.h5 full.yaml
[ "$(ls kept.cases | wc -l)" -eq 4 ] || fault "kept.cases should hold four results: $(ls kept.cases)"
expect 0 draw kept.cases/case-0000003.h5 -o kept.svg
expect 0 tradeoff kept.h5
out_has '2 points, 2 replicates, listed'

# docs/sweeps.md or the table of columns in docs/result-format.md names every dataset
if command -v ncdump >/dev/null; then
    for file in kept.h5 failing.h5; do
        ncdump -h "$file" | sed -nE 's/^[[:space:]]+[a-z0-9]+ ([A-Za-z0-9_]+)(\(.*\))? ;$/\1/p' | sort -u |
            sed -E 's/_standard_error$//; /^(case|batch|distance|third|failed_case)$/d; /_levels$/d' >names
        [ "$(wc -l <names)" -gt 20 ] || fault "$file: ncdump shows few datasets"
        while read -r name; do
            grep -q "^$name\$" <(printf '%s\n' tip size sprayer_alleys weather_relative_humidity) ||
                grep -q "\`$name\`" "$DRUPELET_SOURCE"/docs/{sweeps,result-format}.md || fault "no docs name $name"
        done <names
    done
fi

# answers
expect 0 tradeoff whole.h5 --loss evaporated --limit 'leaf > 1 %' --compare 1,2 --front front.svg --effects effects.svg \
    --csv all.csv
out_has '^Trade-off front'
out_has '^With leaf >= 1 percent: 60 of 60 points'
out_has '^Point 1 less point 2: leaf '
out_has 'licensed adviser'
grep -q '<svg' front.svg || fault "front.svg is no SVG file"
grep -q 'licensed adviser' effects.svg || fault "effects.svg lacks the caution"
[ "$(grep -vc '^#' all.csv)" -eq 61 ] || fault "all.csv should hold a line for each case"
expect 0 tradeoff whole.h5 --limit 'ground_5_m < 50 %' # the flights end after 10 s, with much in the air
out_has '^airborne_5_m: passes 5 m'
out_has '^Still aloft: in 60 of 60 points'
out_has '^Trade-off front: none, for no point has a drift that is known'
out_has '^With ground_5_m <= 50 percent: no point of those whose drift is known'
expect 2 tradeoff whole.h5 --front front.svg
err_has 'front\.svg: exists'
expect 0 tradeoff whole.h5 --json
python3 -m json.tool <out >/dev/null || fault "--json printed no JSON"
expect 0 tradeoff --outputs
out_has '^ground_5_m '
for bad in "--limit drift" "--limit ground_5_m<two" "--limit nothing<2" "--limit ground_5_m<2bar" "--gain much" \
    "--loss x" "--loss leaf" "--limit ground_5_m<0x10%" "--compare 1" "--compare 0,1" "--compare 1,999" "--front a --effects a"; do
    expect 2 tradeoff whole.h5 $bad
    err_has '--help'
done
expect 2 tradeoff whole.h5 --limit 'gruond_5_m < 2 %'
err_has "did you mean 'ground_5_m'"
expect 2 tradeoff whole.h5 --gain lief
err_has "did you mean 'leaf'"
expect 2 tradeoff whole.h5 --front ''
err_has 'is empty'
[ ! -s out ] || fault "an answer came before the fault: $(head -c 100 out)"
expect 2 tradeoff run.h5
err_has 'run\.h5: is the result of a run, not the result of a sweep'
expect 2 tradeoff plan.yaml
err_has 'is no sweep'
expect 2 draw whole.h5
expect 0 tradeoff failing.h5
out_has '2 points are left out'

echo "$checks calls, $faults faults"
[ "$faults" -eq 0 ]
