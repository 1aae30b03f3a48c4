#!/usr/bin/env bash
# tests/test_compilers.sh - the program as another compiler made it, or the same with other flags (DRUPELET_TWIN, which
# scripts/run-tests sets), writes the same result files to the last byte.
set -euo pipefail
[ -n "${DRUPELET_TWIN:-}" ] || { echo "skipped: DRUPELET_TWIN names no other program; scripts/run-tests does"; exit 77; }
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
n=0
compare() # scenario, options
{
    local scenario=$1
    shift
    set -- --droplets 1024 --quiet --no-cache --force "$@"
    "$DRUPELET_PROGRAM" run "$scenario" --output "$work/here.h5" "$@" >/dev/null
    "$DRUPELET_TWIN" run "$scenario" --output "$work/there.h5" "$@" >/dev/null
    cmp "$work/here.h5" "$work/there.h5" || { echo "test_compilers: ${scenario##*/} $* differs" >&2; exit 1; }
    n=$((n + 1))
}
for scenario in "$DRUPELET_SCENARIOS"/*.yaml; do
    compare "$scenario"
done
for wind in profiles computed; do # oblique, so that all of the solver has a share
    compare "$DRUPELET_SCENARIOS/apple-wall-full-leaf.yaml" --set run.wind=$wind --set 'weather.wind_angle=30 deg'
done
[ "$n" -gt 0 ]
echo "$n runs have the same bytes"
