#!/usr/bin/env bash
# Memory that is refused, disks that fill up, flushes and renames that fail, and kills, each at many places of small
# runs, a sweep, a report and pictures. Whatever happens: what was there stays or is replaced by the whole, nothing
# half-written is left, the exit code is right, and one sentence says what is wrong.
#
# A call fails in a copy of the program that is made when the call is due (tests/faults/copy.c), so that a try costs
# only what comes after the failure.
#     FAULTS=ways bash tests/test_faults.sh   lets allocations fail once on each way through the program that leads to
#                                             them (tests/faults/fail.c), and each of the other calls
#     FAULTS=all bash tests/test_faults.sh    lets each call of the program itself fail once; in the child that reads
#                                             a file for a try, which does nothing that its parent does not do later,
#                                             one on each way
#     COMMANDS="run air" ...                  only these of the commands below
#     PLACES="40000 41000" ...                only allocations from the one number to the other
# Else samples of both are tried.
set -u
case "${DRUPELET_FLAGS:-}" in *sanitize*) echo "skipped: the sanitizers have an allocator of their own"; exit 77 ;; esac
program=$DRUPELET_PROGRAM
# in memory where that is possible: what a disk takes for its flushes is not the subject
[ ! -w /dev/shm ] || export TMPDIR=/dev/shm
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
mkdir "$work/at" "$work/copy"
"$DRUPELET_CC" -shared -fPIC -O1 -o "$work/fail.so" "$DRUPELET_SOURCE"/tests/faults/*.c -ldl || exit 1
cd "$work/at" || exit 1
export OMP_NUM_THREADS=1 # a process of several threads cannot be copied
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
"$program" run tiny.yaml --quiet -o "$work/whole.h5" >/dev/null || exit 1
"$program" run tiny.yaml "${fan_air[@]}" --no-cache --quiet -o "$work/whole-fan.h5" >/dev/null || exit 1
cp "$work"/whole*.h5 .
[[ " ${names[*]} " != *" uncertain "* ]] || "$program" "${uncertain[@]/--resume/--force}" >/dev/null || exit 1
for name in "${names[@]}"; do
    declare -n words=$name
    "$program" "${words[@]}" >said 2>err || { cat err >&2; exit 1; }
    cp "${output[$name]}" "$work/good.$name"
    cp said "$work/good.$name.said"
done
[ ! -e air.vtr ] || cp air.vtr "$work/good.vtr"

# clear NAME: as if the command had not been there, but for a former output and what it reads
clear()
{
    rm -rf ./*.h5 *.journal *.csv *.html *.svg kept air.vtr said out err
    case $1 in
    report | draw) cp "$work/whole.h5" . ;;
    air) cp "$work/whole-fan.h5" . ;;
    esac
    if [ "$1" = uncertain ]; then cp "$work/good.uncertain" uncertain.h5; else echo "what was there" >"${output[$1]}"; fi
}

# is_old FILE: without a process for it, of which there would be one for every try
is_old()
{
    local text=
    IFS= read -r -d '' -n 20 text <"$1"
    [ "$text" = $'what was there\n' ]
}

# shown_of NAME FILE: what commands say of a file that NAME has made
shown_of()
{
    case $1 in
    run | fan)
        "$program" draw "$2" --force -o shown.svg >/dev/null 2>&1 && cat shown.svg && "$program" summary --json "$2"
        ;;
    sweep) "$program" tradeoff "$2" --force --csv shown.csv >/dev/null 2>&1 && cat shown.csv ;;
    *) return 1 ;;
    esac
}

# same_contents NAME: where HDF5 has no memory to compress a piece of a file, it puts it there as it is. Several
# failures make one and the same file.
same_contents()
{
    local name=$1 file=${output[$1]}
    [ ! -e "$work/last.$name" ] || ! cmp -s "$file" "$work/last.$name" || return 0
    [ -e "$work/shown.$name" ] || shown_of "$name" "$work/good.$name" >"$work/shown.$name" || return 1
    shown_of "$name" "$file" >shown && cmp -s shown "$work/shown.$name" && cp "$file" "$work/last.$name"
}

# How many sentences are in the file err, and how many lines begin with our name. A sweep says in a second line what
# is kept, or that its cases are there. HDF5 1.10 breaks its own heap where it has no memory for texts of any length, or
# for what it notes of a dataset's chunks; what the C library says of that stands before our sentence.
count_sentences()
{
    local line lines=()
    n_sentences=0 n_ours=0 of_library=0
    mapfile -t lines <err
    for line in "${lines[@]}"; do
        [[ $line != drupelet* ]] || n_ours=$((n_ours + 1))
        [[ $line != *library* ]] || of_library=1
        case $line in
        '' | 'libgomp: '* | *'are kept in sweep'* | *'is complete already') ;;
        'corrupted '* | 'double free '* | 'free(): '* | 'malloc'*'(): '* | 'realloc(): '* | 'munmap_chunk(): '*) ;;
        *) n_sentences=$((n_sentences + 1)) ;;
        esac
    done
}

# judge NAME WHAT CODE: what the command NAME, in which WHAT failed, has left in this folder when it ended with CODE
judge()
{
    local name=$1 what="$1, $2" code=$3 file=${output[$1]} left n_sentences n_ours of_library
    tries=$((tries + 1))
    count_sentences
    if [ "$code" -eq 0 ]; then # it was of no consequence
        cmp -s "$file" "$work/good.$name" || same_contents "$name" || fault "$what: ended well with another result"
        [ "$name" != uncertain ] || cmp -s out "$work/good.$name.said" || fault "$what: ended well and says another thing"
        [ "$name" != air ] || cmp -s air.vtr "$work/good.vtr" || fault "$what: ended well with another grid"
    elif [ "$code" -gt 2 ]; then
        fault "$what: exit code $code: $(head -c 300 err)"
    else
        [ "$n_sentences" -eq 1 ] || fault "$what: not one sentence: $(head -c 600 err)"
        [ "$n_ours" -gt 0 ] || fault "$what: no sentence of ours: $(head -c 300 err)"
        # a sweep is written, too, when a case of it failed
        is_old "$file" || cmp -s "$file" "$work/good.$name" ||
            { [ "$name" = sweep ] && "$program" tradeoff sweep.h5 --outputs >/dev/null 2>&1; } ||
            fault "$what: the output is neither old nor new"
    fi
    [ ! -e air.vtr ] || cmp -s air.vtr "$work/good.vtr" || fault "$what: half a grid"
    for left in drupelet-draft-*; do # only where a library ended the program; the next run clears it away
        [ ! -e "$left" ] || [ "$of_library" = 1 ] || fault "$what: left $left"
    done
}

# try_places NAME CALL: calls of that kind fail at the places in the file places, each in a copy of the program
try_places()
{
    local name=$1 call=$2 code what
    declare -n words=$name
    clear "$name"
    coproc tried {
        # shellcheck disable=SC2261 # the program has both ends
        FAIL_CALL=$call FAIL_PLACES=$work/places FAIL_COPY=$work/copy LD_PRELOAD=$work/fail.so \
            exec "$program" "${words[@]}" 8>&1 9<&0 </dev/null >>out 2>>err
    }
    local id=$tried_PID from to
    # ends of our own: the shell closes those that it made when the program ends
    exec {from}<&"${tried[0]}" {to}>&"${tried[1]}"
    cd "$work/copy" || exit 1
    while read -r code what <&"$from"; do
        judge "$name" "$call $what" "$code"
        echo >&"$to"
    done
    cd "$work/at" || exit 1
    exec {from}<&- {to}>&-
    wait "$id" || fault "$name: fails beside its copies: $(head -c 600 err)"
    cmp -s "${output[$name]}" "$work/good.$name" || fault "$name: is not the same beside its copies"
}

# count NAME CALL: how many such calls there are, and below it the first on each way
count()
{
    declare -n words=$1
    clear "$1"
    rm -f "$work"/number*
    FAIL_CALL=$2 FAIL_COUNT=$work/number LD_PRELOAD=$work/fail.so "$program" "${words[@]}" >out 2>err
}

# some_of FILE CALL CHILD: the places of those that the file counts, evenly spread where not all are wanted, in the
# file places. CHILD is empty or "child C". Adds to text how many they are.
declare -A sample=([allocation]=16 [write]=8 [rename]=4 [fsync]=4 [fclose]=4)
some_of()
{
    local places=() n n_places i from to
    { read -r n && mapfile -t places; } <"$1"
    if [ -z "$3" ] && { [ "$2" != allocation ] || [ "${FAULTS:-}" = all ]; }; then
        [ "$2" != allocation ] || read -r from to <<<"${PLACES:-}"
        mapfile -t places < <(seq "${from:-1}" $((${to:-n} < n ? ${to:-n} : n)))
    fi
    n_places=${#places[@]}
    [ -n "${FAULTS:-}" ] || n_places=$((n_places < sample[$2] ? n_places : sample[$2]))
    for ((i = 0; i < n_places; i++)); do
        echo "$3 ${places[i * ${#places[@]} / n_places]}"
    done >>"$work/places"
    text+=" $3 $n_places of $n"
}

for name in "${names[@]}"; do
    for call in write rename fsync fclose allocation; do
        [ -z "${PLACES:-}" ] || [ "$call" = allocation ] || continue
        count "$name" "$call"
        : >"$work/places"
        text="$name, $call:"
        some_of "$work/number" "$call" ""
        # files are read for a try in children
        for child in "$work"/number.*; do
            [ ! -e "$child" ] || [ -n "${PLACES:-}" ] || some_of "$child" "$call" "child ${child##*.}"
        done
        [ ! -s "$work/places" ] || try_places "$name" "$call"
        echo "$text failed in turn"
    done
done
[ "$tries" -gt 130 ] || [ -n "${COMMANDS:-}" ] || fault "only $tries tries"

# ---- kills ----
kills="run sweep report ${FAULTS:+fan}" # a flow to work out takes longer
[ -z "${PLACES:-}" ] || kills=""
for name in $kills; do
    [[ " ${names[*]} " == *" $name "* ]] || continue
    declare -n words=$name
    file=${output[$name]}
    good=$work/good.$name
    most_ms=$([ "$name" = fan ] && echo 600 || echo 120)
    for ((k = 1; k <= 20; k++)); do
        clear "$name"
        "$program" "${words[@]}" >out 2>err &
        victim=$!
        sleep "0.$(printf '%03d' $((RANDOM % most_ms)))"
        kill -KILL $victim 2>/dev/null
        wait $victim 2>/dev/null
        is_old "$file" || cmp -s "$file" "$good" || fault "$name killed: the output is neither old nor new"
        if [ "$name" = sweep ] && [ -e sweep.h5.journal ]; then
            "$program" sweep plan.yaml --threads 1 --quiet --resume --force -o sweep.h5 >out 2>err ||
                fault "sweep killed: --resume fails: $(head -c 300 err)"
            cmp -s sweep.h5 "$good" || fault "sweep killed and resumed: other bytes"
        fi
        if [ "$name" = fan ]; then # what is kept of its air is taken only where it is whole
            "$program" "${words[@]}" >out 2>err || fault "fan killed: the next run fails: $(head -c 300 err)"
            cmp -s "$file" "$good" || fault "fan killed: the next run has other bytes"
        fi
        tries=$((tries + 1))
    done
    sleep 0.2
    "$program" "${words[@]}" >out 2>err || fault "$name: fails after the kills: $(head -c 300 err)"
    cmp -s "$file" "$good" || fault "$name: has other bytes after the kills"
    ! ls drupelet-draft-* >left 2>/dev/null || fault "$name: the next run left drafts of the killed: $(cat left)"
done
echo "$tries tries, $faults faults"
[ "$faults" -eq 0 ]
