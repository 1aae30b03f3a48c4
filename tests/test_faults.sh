#!/usr/bin/env bash
# Memory that is refused, disks that fill up, flushes and renames that fail, and kills, each at many places of small runs, a
# sweep, a report and pictures. Whatever happens: what was there stays or is replaced by the whole, nothing half-written is
# left, the exit code is right, and one sentence says what is wrong.
#     FAULTS=ways bash tests/test_faults.sh   lets allocations fail once on each way through the program that leads to them
#                                             (tests/faults/fail.c), and each of the other calls
#     FAULTS=all bash tests/test_faults.sh    lets each call fail once
#     COMMANDS="run air" ...                  only these of the commands below
# Else samples of both are tried.
set -u
case "${DRUPELET_FLAGS:-}" in *sanitize*) echo "skipped: the sanitizers have an allocator of their own"; exit 77 ;; esac
program=$DRUPELET_PROGRAM
# in memory where that is possible: what a disk takes for its flushes is not the subject
[ ! -w /dev/shm ] || export TMPDIR=/dev/shm
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
"$DRUPELET_CC" -shared -fPIC -O1 -o fail.so "$DRUPELET_SOURCE/tests/faults/fail.c" -ldl || exit 1
faults=0
tries=0
fault() { echo "FAULT: $*" >&2; faults=$((faults + 1)); }

# as small as it can be: three rows, and no air that is costly to work out
sed -e 's/^  rows: 8/  rows: 3/' -e 's/^  droplets: .*/  droplets: 1000/' "$DRUPELET_TEST_DATA/small-run.yaml" >tiny.yaml
printf '  %s\n' 'wind: profiles' 'air_cell: 0.5 m' 'spray_air: no' >>tiny.yaml
cat >plan.yaml <<'END'
scenario: tiny.yaml
droplets: 1000
keep: profiles
factors:
  - {key: weather.relative_humidity, values: [40 %, 80 %]}
END
# with the air of the fan worked out, in a box that is as coarse as may be, and kept in a folder
fan_air=(--set run.fan_air=resolved --set 'run.fan_air_cell=0.6 m' --set run.keep_fan_air=yes --set 'sprayer.alleys=[1]')
run=(run tiny.yaml --threads 1 --no-cache --quiet --force -o run.h5)
sweep=(sweep plan.yaml --threads 1 --no-cache --quiet --force -o sweep.h5 --csv sweep.csv)
report=(report whole.h5 --force -o page.html)
draw=(draw whole.h5 --force -o picture.svg)
fan=(run tiny.yaml "${fan_air[@]}" --threads 1 --cache kept --quiet --force -o fan.h5)
air=(draw --air --fan whole-fan.h5 --force -o air.svg --vtk air.vtr)
# what the cases of a sweep say that is there already
uncertain=(run tiny.yaml --uncertain --samples 32 --droplets 1000 --threads 1 --no-cache --quiet --resume -o uncertain.h5)
names=(${COMMANDS:-run sweep report draw fan air uncertain})
declare -A output=([run]=run.h5 [sweep]=sweep.h5 [report]=page.html [draw]=picture.svg [fan]=fan.h5 [air]=air.svg
    [uncertain]=uncertain.h5)

# the commands as they end when nothing fails
"$program" run tiny.yaml --quiet -o whole.h5 >/dev/null || exit 1
"$program" run tiny.yaml "${fan_air[@]}" --no-cache --quiet -o whole-fan.h5 >/dev/null || exit 1
[[ " ${names[*]} " != *" uncertain "* ]] || "$program" "${uncertain[@]/--resume/--force}" >/dev/null || exit 1
for name in "${names[@]}"; do
    declare -n words=$name
    "$program" "${words[@]}" >said 2>err || { cat err >&2; exit 1; }
    cp "${output[$name]}" "good.$name"
    cp said "good.$name.said"
done
[ ! -e air.vtr ] || cp air.vtr good.vtr

# clear NAME: as if the command had not been there, but for a former output
clear()
{
    rm -rf sweep.h5.journal sweep.csv kept air.vtr
    if [ "$1" = uncertain ]; then cp good.uncertain uncertain.h5; else echo "what was there" >"${output[$1]}"; fi
}

# same_contents NAME: where HDF5 has no memory to compress a piece of a file, it puts it there as it is
same_contents()
{
    case $1 in
    run | fan)
        "$program" draw "${output[$1]}" --force -o one.svg >/dev/null 2>&1 && cp "good.$1" other.h5 &&
            "$program" draw other.h5 --force -o other.svg >/dev/null 2>&1 && cmp -s one.svg other.svg &&
            [ "$("$program" summary --json "${output[$1]}")" = "$("$program" summary --json "good.$1")" ]
        ;;
    sweep)
        "$program" tradeoff sweep.h5 --force --csv one.csv >/dev/null 2>&1 &&
            "$program" tradeoff good.sweep --force --csv other.csv >/dev/null 2>&1 && cmp -s one.csv other.csv
        ;;
    *) return 1 ;;
    esac
}

# try NAME CALL NUMBER: a call of that kind fails at that place, over an output that is there already
try()
{
    local name=$1 call=$2 number=$3 code=0 file=${output[$1]}
    declare -n words=$name
    clear "$name"
    FAIL_CALL=$call FAIL_AT=$number LD_PRELOAD=$work/fail.so "$program" "${words[@]}" >out 2>err || code=$?
    tries=$((tries + 1))
    local what="$name, $call $number"
    if [ "$code" -eq 0 ]; then # it was of no consequence
        cmp -s "$file" "good.$name" || same_contents "$name" || fault "$what: ended well with another result"
        [ "$name" != uncertain ] || cmp -s out good.uncertain.said || fault "$what: ended well and says another thing"
        [ "$name" != air ] || cmp -s air.vtr good.vtr || fault "$what: ended well with another grid"
    elif [ "$code" -gt 2 ]; then
        fault "$what: exit code $code: $(head -c 300 err)"
    else
        # one sentence; a sweep's says in a second line what is kept, or that its cases are there. HDF5 1.10 breaks its own
        # heap where it has no memory for texts of any length; what the C library says of that stands before our sentence.
        [ "$(grep -vc '^libgomp: \|^$\|are kept in sweep\|is complete already$\|^corrupted double-linked list$' err)" -eq 1 ] ||
            fault "$what: not one sentence: $(head -c 600 err)"
        grep -q '^drupelet' err || fault "$what: no sentence of ours: $(head -c 300 err)"
        # a sweep is written, too, when a case of it failed
        grep -qx 'what was there' "$file" || cmp -s "$file" "good.$name" ||
            { [ "$name" = sweep ] && "$program" tradeoff sweep.h5 --outputs >out 2>&1; } ||
            fault "$what: the output is neither old nor new"
    fi
    [ ! -e air.vtr ] || cmp -s air.vtr good.vtr || fault "$what: half a grid"
    if ls drupelet-draft-* >left 2>/dev/null; then # only where a library ended the program; the next run clears it away
        grep -q 'library' err || fault "$what: left $(cat left)"
    fi
}

# count NAME CALL: how many such calls there are, and below it the first on each way
count()
{
    declare -n words=$1
    clear "$1"
    rm -f number
    FAIL_CALL=$2 FAIL_COUNT=$work/number LD_PRELOAD=$work/fail.so "$program" "${words[@]}" >out 2>err
}

# Of the ways of allocations and of the other calls so many are tried of each command, evenly spread.
declare -A sample=([allocation]=16 [write]=8 [rename]=4 [fsync]=4 [fclose]=4)
for name in "${names[@]}"; do
    for call in write rename fsync fclose allocation; do
        count "$name" "$call"
        { read -r n && mapfile -t places; } <number
        n_ways=${#places[@]}
        [ "$call" = allocation ] && [ "${FAULTS:-}" != all ] || mapfile -t places < <(seq "$n")
        most=${#places[@]}
        [ -n "${FAULTS:-}" ] || most=$((most < sample[$call] ? most : sample[$call]))
        for ((i = 0; i < most; i++)); do
            try "$name" "$call" "${places[i * ${#places[@]} / most]}"
        done
        echo "$name: $most of $n calls of $call failed in turn; they come on $n_ways ways"
    done
done
[ "$tries" -gt 130 ] || [ -n "${COMMANDS:-}" ] || fault "only $tries tries"

# ---- kills ----
kills="run sweep report ${FAULTS:+fan}" # a flow to work out takes longer
for name in $kills; do
    [[ " ${names[*]} " == *" $name "* ]] || continue
    declare -n words=$name
    file=${output[$name]}
    most_ms=$([ "$name" = fan ] && echo 600 || echo 120)
    for ((k = 1; k <= 20; k++)); do
        clear "$name"
        "$program" "${words[@]}" >out 2>err &
        victim=$!
        sleep "0.$(printf '%03d' $((RANDOM % most_ms)))"
        kill -KILL $victim 2>/dev/null
        wait $victim 2>/dev/null
        grep -qx 'what was there' "$file" || cmp -s "$file" "good.$name" || fault "$name killed: the output is neither old nor new"
        if [ "$name" = sweep ] && [ -e sweep.h5.journal ]; then
            "$program" sweep plan.yaml --threads 1 --quiet --resume --force -o sweep.h5 >out 2>err ||
                fault "sweep killed: --resume fails: $(head -c 300 err)"
            cmp -s sweep.h5 good.sweep || fault "sweep killed and resumed: other bytes"
        fi
        tries=$((tries + 1))
    done
    sleep 0.2
    "$program" "${words[@]}" >out 2>err || fault "$name: fails after the kills: $(head -c 300 err)"
    ! ls drupelet-draft-* >left 2>/dev/null || fault "$name: the next run left drafts of the killed: $(cat left)"
done
echo "$tries tries, $faults faults"
[ "$faults" -eq 0 ]
