#!/usr/bin/env bash
# drupelet-mpi: one, two and four ranks give the bytes of drupelet sweep; a rank that is killed ends the sweep, and
# --resume finishes it.
set -u
mpi=${DRUPELET_MPI:-}
if [ -z "$mpi" ] || [ ! -x "$mpi" ] || ! command -v mpirun >/dev/null; then
    echo "skipped: built without MPI (on Debian libopenmpi-dev and openmpi-bin; scripts/run-tests installs them)"
    exit 77
fi
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cp "$DRUPELET_TEST_DATA/scenario-small.yaml" "$work/base.yaml" || exit 1
cd "$work" || exit 1
export OMPI_ALLOW_RUN_AS_ROOT=1 OMPI_ALLOW_RUN_AS_ROOT_CONFIRM=1 OMPI_MCA_rmaps_base_oversubscribe=1
export OMPI_MCA_btl_vader_single_copy_mechanism=none # containers often forbid the other
export TMPDIR=$work PMIX_MCA_gds=hash
export ASAN_OPTIONS=detect_leaks=0 # MPI itself leaves memory at its end
faults=0
fault() { echo "FAULT: $*" >&2; faults=$((faults + 1)); }
ranks() # number, arguments of drupelet-mpi: streams in out and err
{
    local n=$1
    shift
    timeout 120 mpirun -n "$n" "$mpi" "$@" >out 2>err </dev/null
}
printf '%s\n' 'scenario: base.yaml' \
    'set: {run.wind: profiles, run.air_cell: 0.5 m, canopy.voxel: 0.4 m, run.time_limit: 10 s, canopy.tree_variation: 0 %}' \
    'droplets: 1000' 'keep: profiles' 'factors:' '  - {key: weather.wind_speed, from: 1 m/s, to: 4 m/s, steps: 4}' \
    '  - {key: weather.relative_humidity, from: 20 %, to: 90 %, steps: 3}' \
    '  - {name: size, options: {good: {orchard.rows: 2}, bad: {orchard.rows: 40, orchard.row_spacing: 15 m, run.air_cell: 0.05 m, canopy.height: 12 m, canopy.voxel: 0.5 m}}}' \
    >plan.yaml

# without mpirun it is a world of one; and the same command line
ranks 1 --version
grep -qE '^drupelet-mpi [0-9]+\.' out || fault "--version: $(cat out err)"
ranks 2 sweep --help
[ "$(grep -c '^Usage: ' out)" -eq 1 ] || fault "--help should come once: $(cat out)"
ranks 2 launch
[ $? -eq 2 ] || fault "an unknown command should end with 2"
grep -q "unknown command 'launch'" err || fault "unknown command: $(cat err)"
ranks 2 sweep missing.yaml
[ $? -eq 2 ] || fault "a missing plan should end with 2"

# two of the options of a plan fail: they are recorded, exit code 1, the same bytes for any number of ranks
"$DRUPELET_PROGRAM" sweep --quiet -o alone.h5 plan.yaml >out 2>err
[ $? -eq 1 ] || fault "drupelet sweep should end with 1: $(cat err)"
for n in 1 2 4; do
    ranks $n sweep --quiet --threads 1 -o ranks.h5 plan.yaml
    [ $? -eq 1 ] || fault "$n ranks should end with 1: $(cat err)"
    grep -q '24 cases, 12 done, 12 failed' out || fault "$n ranks: $(cat out)"
    cmp -s alone.h5 ranks.h5 || fault "$n ranks gave another file"
    rm -f ranks.h5 ranks.h5.journal
done

# one rank is killed: the sweep ends with an error, finished cases are kept, and more ranks finish it
sed -i '/name: size/d; s/steps: 3/steps: 20/' plan.yaml
"$DRUPELET_PROGRAM" sweep --quiet -o alone.h5 --force plan.yaml >out 2>err || fault "the longer sweep: $(cat err)"
mpirun -n 3 "$mpi" sweep --threads 1 -o killed.h5 plan.yaml >out 2>err </dev/null &
job=$!
for _ in $(seq 200); do # until some cases are done
    [ -e killed.h5.journal ] && [ "$(stat -c %s killed.h5.journal)" -gt 60000 ] && break
    sleep 0.05
done
victim=$(ps -o pid= --ppid "$job" | tail -1)
kill -KILL $victim
wait "$job"
code=$?
[ "$code" -ne 0 ] || fault "a killed rank should end the sweep with an error"
grep -qiE 'rank' err || fault "nothing tells of the rank: $(cat err)"
# rank 0 says what is kept, too, but mpirun does not always pass on the last words of a job that it ends
[ ! -e killed.h5 ] || fault "there should be no result yet"
ranks 4 sweep --resume --threads 1 -o killed.h5 plan.yaml || fault "--resume: $(cat err)"
grep -qE '[1-9][0-9]* of 80 cases are done already' err || fault "resumed: $(cat err)"
cmp -s alone.h5 killed.h5 || fault "the resumed sweep gave another file"

# computed winds are kept only where a folder is named; then all ranks share it. The bytes are the same
printf '%s\n' 'scenario: base.yaml' \
    'set: {run.air_cell: 0.5 m, canopy.voxel: 0.4 m, run.time_limit: 10 s, run.wind: computed}' 'droplets: 1000' \
    'factors:' '  - {key: weather.wind_angle, values: [0 deg, 20 deg]}' >winds.yaml
"$DRUPELET_PROGRAM" sweep --quiet --no-cache -o winds.h5 winds.yaml >out 2>err || fault "computed winds: $(cat err)"
HOME=$work/home ranks 3 sweep --quiet --threads 1 -o ranks.h5 winds.yaml || fault "computed winds: $(cat err)"
cmp -s winds.h5 ranks.h5 || fault "3 ranks gave another file with computed winds"
[ ! -e home/.cache/drupelet ] || fault "ranks kept winds that nobody asked them to keep"
for n in 3 1; do
    ranks $n sweep --quiet --threads 1 --cache kept --force -o ranks.h5 winds.yaml || fault "kept winds: $(cat err)"
    cmp -s winds.h5 ranks.h5 || fault "$n ranks gave another file with kept winds"
    [ "$(find kept -type f | wc -l)" -eq 2 ] || fault "$n ranks: the folder should hold two winds: $(ls -A kept)"
done

echo "$faults faults"
[ "$faults" -eq 0 ]
