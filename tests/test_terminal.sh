#!/usr/bin/env bash
# The sessions in a terminal that docs/ records (a trial scored, results compared) run as they stand there.
set -u
command -v python3 >/dev/null || { echo "skipped: no python3"; exit 77; }
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
export HOME=$work XDG_CACHE_HOME=$work
mkdir -p "$work/copy/docs"
cp -r "$DRUPELET_SOURCE/scripts" "$DRUPELET_SOURCE/scenarios" "$work/copy"
sed 's/^Settings that differ$/Settings that agree/' "$DRUPELET_SOURCE/docs/commands.md" >"$work/copy/docs/commands.md"
cmp -s "$DRUPELET_SOURCE/docs/commands.md" "$work/copy/docs/commands.md" && { echo "nothing was spoiled" >&2; exit 1; }
python3 "$work/copy/scripts/sessions" --check "$DRUPELET_BUILD" commands 2>"$work/seen" &&
    { echo "a wrong word is not seen" >&2; exit 1; }
grep -q '^-Settings that agree' "$work/seen" || { cat "$work/seen" >&2; exit 1; }
python3 "$DRUPELET_SOURCE/scripts/sessions" --check "$DRUPELET_BUILD" commands score-format
