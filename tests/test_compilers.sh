#!/usr/bin/env bash
# tests/test_compilers.sh - the program as another compiler made it, or the same with other flags (DRUPELET_TWIN, which
# scripts/run-tests sets), writes the same result files to the last byte.
set -euo pipefail
[ -n "${DRUPELET_TWIN:-}" ] || { echo "skipped: DRUPELET_TWIN names no other program; scripts/run-tests does"; exit 77; }
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
n=0
for scenario in "$DRUPELET_SCENARIOS"/*.yaml; do
    "$DRUPELET_PROGRAM" run "$scenario" --droplets 1024 --quiet --output "$work/here.h5" --force >/dev/null
    "$DRUPELET_TWIN" run "$scenario" --droplets 1024 --quiet --output "$work/there.h5" --force >/dev/null
    cmp "$work/here.h5" "$work/there.h5" || { echo "test_compilers: ${scenario##*/} differs" >&2; exit 1; }
    n=$((n + 1))
done
[ "$n" -gt 0 ]
echo "$n scenarios have the same bytes"
