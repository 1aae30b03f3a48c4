#!/usr/bin/env bash
# The folder of computed winds as a user meets it: the same bytes cold, kept, in any order, after damage, resumed and in
# shards; where it lies; and that it is never in the way.
set -u
program=$DRUPELET_PROGRAM
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cp "$DRUPELET_TEST_DATA/scenario-small.yaml" "$work/base.yaml" || exit 1
cd "$work" || exit 1
unset HOME XDG_CACHE_HOME
. "$DRUPELET_SOURCE/tests/calls.sh"
holds() # folder, number of files
{
    local n
    n=$(find "$1" -type f 2>/dev/null | wc -l)
    [ "$n" -eq "$2" ] || fault "$1 holds $n files, expected $2: $(ls -A "$1" 2>&1)"
}
few="--droplets 2000 --threads 1 --force --set run.air_cell=0.5m --set run.time_limit=10s"
computed="$few --set run.wind=computed"

# cold and kept
expect 0 run $computed --no-cache -o none.h5 base.yaml
expect 0 run $computed --quiet --cache kept/below -o cold.h5 base.yaml
err_is_empty
same none.h5 cold.h5 "the folder was empty"
holds kept 1
entry=$(find kept -type f)
touch -d '2001-01-01' "$entry"
inode=$(stat -c %i "$entry")
expect 0 run $computed --quiet --cache kept/below -o kept.h5 base.yaml
same none.h5 kept.h5 "the wind was kept"
[ "$(stat -c %i "$entry")" = "$inode" ] || fault "the wind was written again"
[ "$(find kept -type f -newermt '2002-01-01' | wc -l)" -eq 1 ] || fault "a wind that was read does not count as used"

# in neutral air one wind serves all speeds where no leaf gives way, and another direction has another one
expect 0 run $computed --cache speeds --set canopy.leaves_in_wind=rigid --set 'weather.wind_speed=3 m/s' -o a.h5 base.yaml
expect 0 run $computed --cache speeds --set canopy.leaves_in_wind=rigid --set 'weather.wind_speed=5 m/s' -o fast.h5 base.yaml
holds speeds 1
expect 0 run $computed --no-cache --set canopy.leaves_in_wind=rigid --set 'weather.wind_speed=5 m/s' -o cold-fast.h5 base.yaml
same fast.h5 cold-fast.h5 "a slower wind was kept first"

# damage is mended
size=$(stat -c %s "$entry")
cp "$entry" whole
for at in 0 9 20 40 60 $((size / 2)) $((size - 1)); do
    printf '\377' | dd of="$entry" bs=1 seek="$at" conv=notrunc status=none
    cmp -s "$entry" whole && printf '\0' | dd of="$entry" bs=1 seek="$at" conv=notrunc status=none
    expect 0 run $computed --quiet --cache kept/below -o damaged.h5 base.yaml
    err_is_empty
    same none.h5 damaged.h5 "byte $at of the entry was damaged"
    same "$entry" whole "it was mended after damage at $at"
done
for length in 0 20 $((size - 1)); do
    head -c "$length" whole >"$entry"
    expect 0 run $computed --quiet --cache kept/below -o damaged.h5 base.yaml
    same none.h5 damaged.h5 "the entry was cut to $length bytes"
    same "$entry" whole "it was mended"
done

# two at once
rm -rf kept
for i in 1 2; do
    "$program" run $computed --quiet --cache kept -o at-once-$i.h5 base.yaml >/dev/null 2>err-$i &
done
wait
for i in 1 2; do
    same none.h5 at-once-$i.h5 "two processes were at work"
    [ ! -s err-$i ] || fault "one of two processes at once says $(cat err-$i)"
done
holds kept 1

# who finds that another one solves the wind waits for it, takes what comes, and can be stopped meanwhile
entry=$(find kept -type f)
mv "$entry" whole
exec 9>"$entry.draft-claim"
flock 9
"$program" run $computed --quiet --cache kept -o waited.h5 base.yaml >/dev/null 2>err-waited &
waits=$!
"$program" run $computed --quiet --cache kept -o stopped.h5 base.yaml >/dev/null 2>err-stopped &
stops=$!
sleep 3
holds kept 1 # the claim
kill -TERM "$stops"
wait "$stops"
[ $? -eq 130 ] || fault "a run that waited for a wind was not stopped: $(cat err-stopped)"
[ ! -e stopped.h5 ] || fault "a run that was stopped while it waited left a result"
kill -0 "$waits" || fault "a run did not wait for the wind that another one solves: $(cat err-waited)"
mv whole "$entry"
wait "$waits" || fault "a run that waited for a wind ended badly: $(cat err-waited)"
same none.h5 waited.h5 "it waited for the wind"
exec 9>&-
rm "$entry"
expect 0 run $computed --quiet --cache kept -o a.h5 base.yaml
same none.h5 a.h5 "a claim was left behind"
holds kept 1

# where it lies
here=$PWD
XDG_CACHE_HOME=$here/xdg HOME=$here/home expect 0 run $computed -o a.h5 base.yaml
holds xdg/drupelet 1
[ ! -e home ] || fault "the home folder was used beside XDG_CACHE_HOME"
XDG_CACHE_HOME=not/absolute HOME=$here/home expect 0 run $computed -o a.h5 base.yaml
holds home/.cache/drupelet 1
[ ! -e not ] || fault "a path that is not absolute was used"
HOME=$here/other expect 0 run $computed --no-cache -o a.h5 base.yaml
HOME=$here/other expect 0 run $few --set run.wind=profiles -o a.h5 base.yaml
[ ! -e other ] || fault "a folder was made that nobody needs"
expect 0 run $computed -o a.h5 base.yaml
[ "$(wc -l <err)" -eq 1 ] || fault "without a home folder a run says more than what it wrote: $(cat err)"

# where it cannot be: told once, and no error. A file stands in its place, so that not even root can make it
: >file
expect 0 run $computed --cache file/folder -o refused.h5 base.yaml
[ "$(grep -c '^drupelet: file/folder: the computed air cannot be kept' err)" -eq 1 ] || fault "no warning: $(cat err)"
same none.h5 refused.h5 "the folder took nothing"
expect 0 run $computed --quiet --cache file/folder -o refused.h5 base.yaml
err_is_empty

# bad usage
for arguments in "--cache a --no-cache" "--cache="; do
    expect 2 run $arguments -o bad.h5 base.yaml
    err_has '--cache'
done

# sweeps
{
    printf '%s\n' 'scenario: base.yaml' 'droplets: 1000' 'factors:' \
        '  - {key: weather.wind_angle, values: [0 deg, 20 deg]}' '  - {key: orchard.row_spacing, values: [4 m, 5 m]}'
    printf 'set: {run.air_cell: 0.5 m, canopy.voxel: 0.4 m, run.time_limit: 10 s, run.wind: computed}\n'
} >plan.yaml
expect 0 sweep --no-cache --quiet -o none-sweep.h5 plan.yaml
expect 0 sweep --cache sweep --quiet -o cold-sweep.h5 plan.yaml
err_is_empty
holds sweep 4
same none-sweep.h5 cold-sweep.h5 "the folder was empty"
expect 0 sweep --cache sweep --quiet --threads 2 -o kept-sweep.h5 plan.yaml
same none-sweep.h5 kept-sweep.h5 "the winds were kept"
find sweep -type f | head -2 | xargs rm
expect 0 sweep --cache sweep --quiet --shard 2/2 -o shards.h5 plan.yaml
expect 0 sweep --cache sweep --quiet --shard 1/2 -o shards.h5 plan.yaml
expect 0 sweep --merge 2 --quiet -o shards.h5 plan.yaml
same none-sweep.h5 shards.h5 "shards made it in another order, with some of the winds kept"
holds sweep 4
# stopped after its first case, then resumed, first with and then without kept winds
expect 0 sweep --cache sweep --quiet --threads 1 --keep-journal -o resumed.h5 plan.yaml
for options in "--cache sweep" "--no-cache"; do
    rm -f resumed.h5
    truncate -s $(($(stat -c %s resumed.h5.journal) / 2)) resumed.h5.journal
    expect 0 sweep $options --resume --keep-journal -o resumed.h5 plan.yaml
    err_has '^drupelet: [1-3] of 4 cases are done already'
    same none-sweep.h5 resumed.h5 "it was resumed with $options"
done
expect 0 sweep --cache file/folder -o refused-sweep.h5 plan.yaml
[ "$(grep -c 'file/folder: the computed air cannot be kept' err)" -eq 1 ] || fault "no warning of the sweep: $(cat err)"
same none-sweep.h5 refused-sweep.h5 "the folder took nothing"

echo "$checks runs, $faults faults"
[ "$faults" -eq 0 ]
