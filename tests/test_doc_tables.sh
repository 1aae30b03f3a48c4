#!/usr/bin/env bash
# The tables of docs/ that are made from the program's tables are those of this build.
set -u
bash "$DRUPELET_SOURCE/scripts/doc-tables" --check "$DRUPELET_BUILD" || exit 1
n=$(cat "$DRUPELET_SOURCE"/docs/*.md | grep -c '^<!-- table: ')
[ "$n" -ge 18 ] || { echo "the nine groups of a result and the nine of a scenario have tables, found $n" >&2; exit 1; }
