#!/usr/bin/env bash
# scripts/validate end to end with few droplets: it reports numbers beside published ones, writes a page and a figure, keeps
# its runs, and refuses what it does not know. Skips where a package that it needs is missing.
set -u
/usr/bin/python3 -c 'import h5py, matplotlib, numpy' 2>/dev/null || {
    echo "SKIPPED: /usr/bin/python3 lacks h5py, numpy or matplotlib (scripts/setup --validation)"
    exit 77
}
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
faults=0
fault() { echo "FAULT: $*" >&2; faults=$((faults + 1)); }
validate()
{
    /usr/bin/python3 "$DRUPELET_SOURCE/scripts/validate" --program "$DRUPELET_PROGRAM" --work "$work/runs" --quick "$@" \
        >"$work/out" 2>"$work/err"
}
numbers_of() # check quantity: the value that it reports
{
    sed -n "s/^| $1[^|]*| [^|]* | \([-0-9.]*\)[^|]*|.*/\1/p" "$work/out" | head -1
}

mkdir "$work/docs"
cp "$DRUPELET_SOURCE"/docs/validation.{md,csv} "$work/docs/" || exit 1
validate --only S4,S9 --docs "$work/docs" || fault "exit code $?: $(tail -n 3 "$work/err")"
bare=$(numbers_of bare)
leaf=$(numbers_of 'full leaf')
jet=$(numbers_of 'air 2 m from the fan')
# Wide bounds, to tell numbers from none: bare trees let more drift by, and the air leaves the fan at 40 m/s.
awk -v bare="$bare" -v leaf="$leaf" -v jet="$jet" \
    'BEGIN { exit !(bare > leaf && leaf > 0 && bare < 100 && jet > 5 && jet < 40) }' ||
    fault "bare '$bare', full leaf '$leaf', jet '$jet'"
for check in S4 S9; do
    grep -q "^\*\*$check\. " "$work/docs/validation.md" || fault "$check is not on the page"
done
grep -q '<svg' "$work/docs/figures/validation-jet.svg" || fault "no figure"
rows_of() { grep -c "^$1," "$2"; } # check file
for check in S1 S4 S7; do
    [ "$(rows_of $check "$work/docs/validation.csv")" -eq "$(rows_of $check "$DRUPELET_SOURCE/docs/validation.csv")" ] ||
        fault "the dossier lost or gained rows of $check"
done
diff <(grep -v '^S[49],' "$DRUPELET_SOURCE/docs/validation.csv") <(grep -v '^S[49],' "$work/docs/validation.csv") >&2 ||
    fault "rows of checks that were not run have changed"
awk -F, -v bare="$bare" '$1 == "S4" && $2 == "bare" { near = ($6 - bare) ^ 2 < (0.02 * bare) ^ 2 } END { exit !near }' \
    "$work/docs/validation.csv" ||
    fault "the dossier does not have the $bare of the page: $(grep '^S4,bare,' "$work/docs/validation.csv")"
cp -r "$work/docs" "$work/first"

# the same again, from the runs that are kept: the same bytes
validate --only S4,S9 --docs "$work/docs" || fault "second call: exit code $?"
grep -q '; 0 runs made, ' "$work/err" || fault "a second call made runs again: $(tail -n 1 "$work/err")"
diff -r "$work/first" "$work/docs" >&2 || fault "a second call wrote other bytes"

# a run that cannot be made ends it, and the page stays as it was
validate --only S4 --droplets 10 --docs "$work/docs"
[ $? -eq 1 ] || fault "10 droplets: exit code should be 1"
diff -r "$work/first" "$work/docs" >&2 || fault "a failed call changed the page"
validate --only S13
[ $? -eq 2 ] || fault "--only S13: exit code should be 2"
[ "$faults" -eq 0 ]
