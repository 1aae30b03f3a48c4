#!/usr/bin/env bash
# The real program never writes over what it reads, under whatever name, nor onto streams and devices; and it names a file
# of another kind and the command that reads it.
set -u
program=$DRUPELET_PROGRAM
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
. "$DRUPELET_SOURCE/tests/calls.sh"

# ---- files to read ----
cp "$DRUPELET_SCENARIOS/measured-canopy.yaml" "$DRUPELET_SCENARIOS/measured-canopy.csv" "$DRUPELET_SCENARIOS/drift-trial.yaml" .
few="--droplets 2000 --quiet"
expect 0 run drift-trial.yaml $few --output result.h5
expect 0 run measured-canopy.yaml $few --output other.h5
cat >plan.yaml <<'END'
scenario: drift-trial.yaml
design: grid
droplets: 1000
factors:
  - {name: fan speed, key: sprayer.fan.speed, values: [300 rpm, 540 rpm]}
END
cat >canopies.yaml <<'END'
scenario: measured-canopy.yaml
droplets: 1000
factors:
  - {name: canopy, key: canopy.measured, values: [measured-canopy.csv, second.csv]}
END
cp measured-canopy.csv second.csv
expect 0 sweep plan.yaml --quiet --output sweep.h5
cat >trial.csv <<'END'
kind,distance,value,unit
ground,5,1.0,percent
END
mkdir folder links
ln result.h5 links/hard.h5
ln -s ../result.h5 links/soft.h5
md5sum -- *.yaml *.csv *.h5 links/* >sums

# kept: nothing that was there has changed, and nothing new is there
kept()
{
    md5sum --quiet -c sums >sums.out 2>&1 || fault "drupelet $*: changed a file: $(cat sums.out)"
    local found
    found=$(find . -type f ! -name out ! -name err ! -name 'sums*' | wc -l)
    [ "$found" -eq "$(find . -type f \( -name '*.yaml' -o -name '*.csv' -o -name '*.h5' \) | wc -l)" ] ||
        fault "drupelet $*: left something behind: $(ls -A)"
}
refused() # ARGUMENT...: names an input as an output
{
    expect 2 "$@"
    err_has 'is read \(as .*\), so it is not written over: name another file'
    kept "$@"
}

# ---- an input as an output ----
for same in result.h5 ./result.h5 folder/../result.h5 "$work/result.h5" links/hard.h5 links/soft.h5; do
    refused draw result.h5 --output "$same" --force
done
refused draw result.h5 --output result.h5 # and never advises --force
refused draw --air result.h5 --output result.h5 --force
refused draw --air result.h5 --vtk result.h5 --force
refused run drift-trial.yaml $few --output drift-trial.yaml --force
refused run measured-canopy.yaml $few --output measured-canopy.csv --force
refused run measured-canopy.yaml $few --set canopy.measured=second.csv --output second.csv --force
refused canopy measured-canopy.yaml --output measured-canopy.csv --force
cp drift-trial.yaml scenario.csv
md5sum scenario.csv >>sums
refused canopy scenario.csv --output scenario.csv --force
refused report result.h5 --output result.h5 --force
refused report other.h5 result.h5 --output result.h5 --force
refused report sweep.h5 --output sweep.h5 --force
refused score result.h5 --measured trial.csv --svg trial.csv --force
refused score result.h5 --measured trial.csv --output trial.csv --force
refused score result.h5 --measured trial.csv --output table.csv --svg result.h5 --force
for option in --front --effects --csv; do
    refused tradeoff sweep.h5 $option sweep.h5 --force
done
for output in plan.yaml drift-trial.yaml; do
    refused sweep plan.yaml --quiet --output $output --force
    refused sweep plan.yaml --quiet --output new.h5 --csv $output --force
done
refused sweep canopies.yaml --quiet --output second.csv --force
refused sweep canopies.yaml --quiet --output new.h5 --csv measured-canopy.csv --force
cp plan.yaml new.h5.journal
md5sum new.h5.journal >>sums
expect 2 sweep new.h5.journal --quiet --output new.h5 --force
err_has 'new\.h5\.journal: is read'
md5sum --quiet -c sums >sums.out 2>&1 || fault "sweep: changed its plan: $(cat sums.out)"
rm new.h5.journal scenario.csv
sed -i '/journal/d; /scenario\.csv/d' sums

# ---- two outputs of one name ----
expect 2 score result.h5 --measured trial.csv --output new.csv --svg ./new.csv
expect 2 draw --air result.h5 --output new.svg --vtk ./new.svg
expect 2 draw result.h5 --vtk new.vtr
err_has '--vtk goes with --air'
expect 2 draw --air result.h5
err_has '^result\.h5: does not hold the wind: run it again with --set run\.keep_wind=yes$'
expect 2 draw --fan result.h5
err_has '--fan goes with --air'
expect 2 draw --air --fan result.h5
err_has "^result\.h5: does not hold the fan's air: run it again with --set run\.keep_fan_air=yes$"
expect 2 tradeoff sweep.h5 --front new.svg --effects folder/../new.svg
expect 2 sweep plan.yaml --output new.h5 --csv ./new.h5
expect 2 sweep plan.yaml --output new.h5 --csv ./new.h5.journal
kept

# ---- a container without /proc: a folder of the same device as all others stands in its place ----
# The leak sanitizer needs /proc, even to be told to rest.
if [[ "${DRUPELET_FLAGS:-}" != *sanitize* ]] && unshare -rm true 2>/dev/null; then
    mkdir none
    # shellcheck disable=SC2016 # the inner shell's
    unshare -rm sh -c 'mount --bind none /proc && exec "$@"' - "$program" draw result.h5 -o new.svg >out 2>err ||
        fault "without /proc: $(cat err)"
    rm -rf none new.svg
fi
kept

# ---- streams and devices; root could replace /dev/stdout where the program were wrong ----
devices="/dev/null /dev/fd/1 /proc/self/fd/1" # standard output is a plain file here
[ "$(id -u)" -eq 0 ] || devices="$devices /dev/stdout"
for command in "run drift-trial.yaml $few -o" "draw result.h5 -o" "report result.h5 -o" \
    "score result.h5 --measured trial.csv --svg" "tradeoff sweep.h5 --csv" "sweep plan.yaml --quiet -o" \
    "sweep plan.yaml --quiet -o new.h5 --csv"; do
    expect 2 $command - --force
    err_has '^drupelet: -: standard output takes no such file: name a file'
    for device in $devices; do
        expect 2 $command $device --force
        err_has "^drupelet: $device: is not a plain file"
    done
    kept $command
done

# ---- links, permissions, limits, and what killed runs leave ----
mkdir far
echo old >far/target.svg
chmod 640 far/target.svg
ln -s far/target.svg near.svg
expect 2 draw result.h5 --output near.svg
err_has 'near\.svg: exists'
expect 0 draw result.h5 --output near.svg --force
[ -L near.svg ] || fault "the link was replaced"
grep -q '<svg' far/target.svg || fault "what the link leads to was not replaced"
[ "$(stat -c %a far/target.svg)" = 640 ] || fault "--force changed the permissions"
ln -s far/none.h5 nowhere.h5
for command in "run drift-trial.yaml $few -o" "draw result.h5 -o" "sweep plan.yaml --quiet -o"; do
    expect 2 $command nowhere.h5 --force
    err_has '^drupelet: nowhere\.h5: is a link that leads nowhere'
    expect 2 $command "" --force
    err_has 'the name of an output is empty'
    expect 2 $command "$(printf 'a%.0s' {1..300})" --force
    err_has 'File name too long'
done
expect_limited() # FILE ARGUMENT...: a limit on the size of files is a sentence, not a signal
{
    local code=0 file=$1
    shift
    (ulimit -f 20 && exec "$program" "$@" --output "$file" >out 2>err) || code=$?
    checks=$((checks + 1))
    [ "$code" -eq 1 ] || fault "ulimit -f: exit code $code"
    err_has "$file: cannot be written: File too large"
}
expect_limited small.h5 run drift-trial.yaml $few
expect_limited small.svg draw result.h5
expect_limited small.html report result.h5
code=0 # a team of threads that cannot be had
(ulimit -v 700000 && exec "$program" run drift-trial.yaml $few --threads 4096 --output many.h5 >out 2>err) || code=$?
if ! grep -q 'Sanitizer' err; then # they take more memory than the limit
    [ "$code" -eq 1 ] || fault "--threads 4096 in 700 MB: exit code $code"
    err_has '^drupelet: 4096 threads are wanted, and this machine gives [0-9]* now'
    code=0 # and no case is done, so nothing is in the way of the next start
    (ulimit -v 700000 && exec "$program" sweep plan.yaml --quiet --threads 4096 --output many.h5 >out 2>err) || code=$?
    [ "$code" -eq 1 ] || fault "sweep --threads 4096 in 700 MB: exit code $code"
    [ ! -e many.h5.journal ] || fault "a sweep without a case left a journal"
fi
rm -rf far near.svg nowhere.h5
kept

# ---- files of another kind, and damaged ones ----
for command in draw "score --measured trial.csv"; do
    expect 2 $command sweep.h5
    err_has "sweep\.h5: is the result of a sweep, not the result of a run: 'drupelet tradeoff' reads it"
done
expect 2 tradeoff result.h5
err_has "result\.h5: is the result of a run, not the result of a sweep: 'drupelet draw'"
expect 2 sweep drift-trial.yaml
err_has "drift-trial\.yaml: is a scenario, not a plan: 'drupelet run' simulates it"
expect 2 run plan.yaml
err_has "plan\.yaml: is a plan of a sweep, not a scenario: 'drupelet sweep' runs it"
expect 2 draw plan.yaml
err_has 'plan\.yaml: is no result of drupelet: it is no HDF5 file'
for whole in result.h5 sweep.h5; do
    head -c "$(($(stat -c %s $whole) / 2))" $whole >half.bin
    expect 2 draw half.bin
    err_has 'half\.bin: is damaged: HDF5 cannot open it'
    expect 2 tradeoff half.bin
    err_has 'half\.bin: is damaged'
done

# A byte changed anywhere in the head: a result, or one line that says what is wrong. Where HDF5 gives up on a damaged
# file it loses memory of its own; the leak sanitizer looks at ours.
echo 'leak:H5FL__malloc' >hdf5.txt
export LSAN_OPTIONS=suppressions=$work/hdf5.txt:print_suppressions=0
n_refused=0
size=$(stat -c %s sweep.h5)
for ((at = 9; at < 20000 && at < size; at += 401)); do
    cp sweep.h5 flipped.bin
    printf '\252' | dd of=flipped.bin bs=1 seek=$at conv=notrunc status=none
    code=0
    "$program" tradeoff flipped.bin >out 2>err || code=$?
    [ "$code" -eq 0 ] || [ "$code" -eq 2 ] || fault "byte $at of sweep.h5 changed: exit code $code: $(head -c 400 err)"
    [ "$(wc -l <err)" -le 1 ] || fault "byte $at of sweep.h5 changed: more than one line: $(head -c 400 err)"
    n_refused=$((n_refused + code / 2))
done
[ "$n_refused" -ge 5 ] || fault "only $n_refused changed bytes were seen"

echo "$checks calls, $faults faults"
[ "$faults" -eq 0 ]
