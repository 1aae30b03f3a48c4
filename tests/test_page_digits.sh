#!/usr/bin/env bash
# tests/test_page_digits.sh - the simulator in the page has the same digits as the program (tests/page/digits.mjs): three
# scenarios with settings changed as on the page, saved as scenario files, and run by the program. Skips where the build
# has no simulator for pages.
set -euo pipefail
[ -s "$DRUPELET_BUILD/simulator/simulator.wasm" ] || { echo "test_page_digits: the build has no simulator"; exit 77; }
. "$DRUPELET_SOURCE/tests/page/begin.sh"
begin page-digits

names=(apple-wall-full-leaf vineyard apple-wall-evening-inversion)
page() # NAME SCENARIO OPTION...
{
    local name=$1 scenario=$2
    shift 2
    "$DRUPELET_PROGRAM" run "$scenario" --output "$name.h5" --force --quiet "$@" >run.txt
    "$DRUPELET_PROGRAM" report "$name.h5" --output "$name.html" --force 2>page.txt || { cat page.txt >&2; exit 1; }
}
for name in "${names[@]}"; do
    page "$name" "$DRUPELET_SCENARIOS/$name.yaml" --droplets 2000 --set 'weather.relative_humidity=55 %'
done
node digits.mjs write "$work" "${names[@]}"
for name in "${names[@]}"; do
    page "$name-native" "$name.yaml"
done
exec timeout 900 node digits.mjs compare "$work" "$chromium" "${names[@]}"
