#!/usr/bin/env bash
# docs/leaf-outcomes.md is what scripts/leaf-outcomes writes with this build.
set -u
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
bash "$DRUPELET_SOURCE/scripts/leaf-outcomes" "$DRUPELET_PROGRAM" "$work/paper.md" || exit 1
[ "$(grep -c '^Upper side: a adheres' "$work/paper.md")" -eq 4 ] || { echo "four tables were expected" >&2; exit 1; }
if ! diff -u "$DRUPELET_SOURCE/docs/leaf-outcomes.md" "$work/paper.md" >&2; then
    echo "docs/leaf-outcomes.md is out of date: run scripts/leaf-outcomes" >&2
    exit 1
fi
