#!/usr/bin/env bash
# tests/test_page_live.sh - other settings are tried on pages in Debian's Chromium (tests/page/live.mjs), and pages on
# which nothing can be tried say why. Skips where the build has no simulator for pages.
set -euo pipefail
[ -s "$DRUPELET_BUILD/simulator/simulator.wasm" ] || { echo "test_page_live: the build has no simulator"; exit 77; }
. "$DRUPELET_SOURCE/tests/page/begin.sh"
begin page-live

run() # RESULT SCENARIO OPTION...
{
    local result=$1 scenario=$DRUPELET_SCENARIOS/$2
    shift 2
    "$DRUPELET_PROGRAM" run "$scenario" --output "$result" --droplets 4000 --force --quiet "$@" >run.txt
}
page() # PAGE RESULT...
{
    local name=$1
    shift
    "$DRUPELET_PROGRAM" report "$@" --output "$name" --force 2>page.txt || { cat page.txt >&2; exit 1; }
}
run one.h5 apple-wall-full-leaf.yaml
run other.h5 vineyard.yaml --set 'weather.wind_speed=2 m/s'
run canopy.h5 measured-canopy.yaml
run resolved.h5 vineyard.yaml --set run.fan_air=resolved --set 'run.fan_air_cell=0.6 m'
page one.html one.h5
page two.html one.h5 other.h5
page left-out.html one.h5 --without-simulator
page canopy.html canopy.h5
page resolved.html resolved.h5
if grep -q 'id="simulator"' left-out.html; then echo "the simulator is in left-out.html" >&2; exit 1; fi

# a file of an earlier release does not tell what was set beside its scenario
if python=$(python_with_h5py); then
    cp other.h5 changed.h5
    "$python" - <<'END'
import h5py
with h5py.File("changed.h5", "a") as f:
    del f["inputs/settings"]
END
    page changed.html changed.h5
else
    echo "test_page_live: no h5py, so no file of an earlier release"
    sed 's/"live":{"tree":.*}\],"live_keys"/"live":{"why":"changed"}}],"live_keys"/' one.html >changed.html
fi
exec timeout 800 node live.mjs "$work" "$chromium"
