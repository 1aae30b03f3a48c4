#!/usr/bin/env bash
# The session that docs/r.md records runs in R as it stands there.
set -u
command -v python3 >/dev/null || { echo "skipped: no python3"; exit 77; }
Rscript -e 'library(ncdf4)' >/dev/null 2>&1 || {
    echo "skipped: no R with the package ncdf4 (on Debian r-base-core and r-cran-ncdf4; scripts/setup --with-readers)"
    exit 77
}
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
export HOME=$work

# the check sees a wrong word
mkdir -p "$work/copy/docs"
cp -r "$DRUPELET_SOURCE/scripts" "$DRUPELET_SOURCE/scenarios" "$work/copy"
sed 's/^\[1\] "percent"$/[1] "permille"/' "$DRUPELET_SOURCE/docs/r.md" >"$work/copy/docs/r.md"
cmp -s "$DRUPELET_SOURCE/docs/r.md" "$work/copy/docs/r.md" && { echo "nothing was spoiled" >&2; exit 1; }
python3 "$work/copy/scripts/sessions" --check "$DRUPELET_BUILD" r 2>"$work/seen" &&
    { echo "a wrong word is not seen" >&2; exit 1; }
grep -q '^-\[1\] "permille"' "$work/seen" || { cat "$work/seen" >&2; exit 1; }
python3 "$DRUPELET_SOURCE/scripts/sessions" --check "$DRUPELET_BUILD" r
