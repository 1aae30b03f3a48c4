#!/usr/bin/env bash
# tests/test_page.sh - makes pages with drupelet report and uses them in Debian's Chromium (tests/page/run.mjs). Needs
# node and chromium, which scripts/setup --with-readers installs.
set -euo pipefail
. "$DRUPELET_SOURCE/tests/page/begin.sh"
begin page-test

simulate() # RESULT SCENARIO OPTION...
{
    local result=$1 scenario=$2
    shift 2
    "$DRUPELET_PROGRAM" run "$scenario" --output "$result" --droplets 20000 --quiet --force "$@" >run.txt
}
simulate fine.h5 "$DRUPELET_SCENARIOS/apple-wall-full-leaf.yaml" --json
mv run.txt fine.json
simulate coarse.h5 "$DRUPELET_SCENARIOS/apple-wall-air-induction.yaml" --set 'sprayer.fan.speed=400 rpm'
simulate tall.h5 "$DRUPELET_SCENARIOS/tall-globe-orchard.yaml"
simulate bare.h5 "$DRUPELET_SCENARIOS/apple-wall-dormant.yaml" --set 'sprayer.travel_speed=0 km/h' --set 'weather.wind_speed=0 m/s'
simulate dormant.h5 "$DRUPELET_SCENARIOS/apple-wall-dormant.yaml"
simulate windless.h5 "$DRUPELET_SCENARIOS/apple-wall-full-leaf.yaml" --set 'weather.wind_speed=0 m/s'
simulate inversion.h5 "$DRUPELET_SCENARIOS/apple-wall-evening-inversion.yaml"
for speed in 300 420; do
    simulate "fan-$speed.h5" "$DRUPELET_SCENARIOS/apple-wall-full-leaf.yaml" --set "sprayer.fan.speed=$speed rpm"
done
simulate upwind.h5 "$DRUPELET_SCENARIOS/vineyard.yaml" --set 'weather.wind_angle=170 deg'
sed -e 's|^name:.*|name: "<img src=x onerror=alert(1)></script><script>alert(2)</script>"|' \
    -e 's|fine cone|"<b onclick=alert(3)>tip</b>"|g' -e 's|name: row 1 top|name: "<i>card top"|' \
    "$DRUPELET_SCENARIOS/drift-trial.yaml" >markup.yaml
simulate markup.h5 markup.yaml

# a name without a blank, and one that turns the direction of writing
{ printf 'name: "%s"\n' "$(printf 'Langername%.0s' {1..12})"; sed -e '/^name:/d' -e 's|^place:.*|place: "\\u202Eturned\\u2067 place"|' \
    "$DRUPELET_SCENARIOS/apple-wall-full-leaf.yaml"; } >long.yaml
simulate long.h5 long.yaml

cat >plan.yaml <<END
name: Fan and tips <b>of a test</b>
scenario: $DRUPELET_SCENARIOS/apple-wall-full-leaf.yaml
design: grid
droplets: 4000
factors:
  - name: tip
    key: tips
    options:
      fine: {fine cone: {kind: hollow_cone, size: "01", cone_angle: 80 deg}}
      coarse: {fine cone: {kind: air_induction_hollow_cone, size: "01", cone_angle: 80 deg}}
  - {name: fan speed, key: sprayer.fan.speed, values: [300 rpm, 540 rpm]}
  - {name: pressure, key: sprayer.pressure, values: [6 bar, 10 bar]}
END
"$DRUPELET_PROGRAM" sweep plan.yaml --output sweep.h5 --quiet --force >sweep.txt
"$DRUPELET_PROGRAM" tradeoff sweep.h5 --limit 'ground_5_m < 4 %' --json >sweep.json

cat >drawn.yaml <<END
name: Drawn
scenario: $DRUPELET_SCENARIOS/apple-wall-full-leaf.yaml
design: latin_hypercube
samples: 16
droplets: 2000
factors:
  - {name: pressure, key: sprayer.pressure, from: 5 bar, to: 12 bar}
  - {name: temperature, key: weather.temperature, from: 8 degC, to: 30 degC}
END
"$DRUPELET_PROGRAM" sweep drawn.yaml --output drawn.h5 --quiet --force >sweep.txt

cat >calm.yaml <<END
name: Wind, down to none
scenario: $DRUPELET_SCENARIOS/apple-wall-full-leaf.yaml
design: grid
droplets: 4000
factors:
  - {name: wind, key: weather.wind_speed, values: [0 m/s, 3 m/s]}
END
"$DRUPELET_PROGRAM" sweep calm.yaml --output calm.h5 --quiet --force >sweep.txt

page() # PAGE RESULT...
{
    local name=$1
    shift
    "$DRUPELET_PROGRAM" report "$@" --output "$name" --force 2>page.txt || { cat page.txt >&2; exit 1; }
}
page one.html fine.h5
page two.html fine.h5 coarse.h5
page four.html fine.h5 coarse.h5 tall.h5 upwind.h5
page markup.html markup.h5
page sweep.html sweep.h5
page drawn.html drawn.h5
page calm.html calm.h5
# The simulator warms up on each page that holds it, which takes a core seconds; tests/test_page_live.sh uses it.
page same.html fine.h5 fine.h5 --without-simulator
page bare.html bare.h5 --without-simulator
page long.html long.h5 fine.h5 --without-simulator
page mixed.html fine.h5 dormant.h5 windless.h5 --without-simulator
page inversion.html inversion.h5 --without-simulator
page fans.html fan-300.h5 fan-420.h5 fine.h5 --without-simulator

# a file from before the program kept all that the page shows
if python=$(python_with_h5py); then
    cp fine.h5 old.h5
    "$python" - <<'END'
import h5py
with h5py.File("old.h5", "a") as f:
    for name in ("fates/together", "fates/outcome_share", "fates/outcome_by_size", "fates/settling_speed",
                 "fates/lifetime", "fates/dry_after_fall", "canopy/deposit_of_row", "canopy/deposit_of_third",
                 "canopy/coverage", "canopy/coverage_all", "tracks/last_rebound", "inputs/air_pressure",
                 "inputs/nonvolatile", "inputs/fan_speed", "warnings"):
        del f[name]
END
    page old.html old.h5 --without-simulator
else
    echo "test_page: no h5py, so no file of an older version"
    cp one.html old.html
fi

# the same results give the same bytes; an existing page stays unless --force; no result, no page
page again.html fine.h5
cmp one.html again.html
if "$DRUPELET_PROGRAM" report fine.h5 --output one.html 2>page.txt; then exit 1; fi
cmp one.html again.html
rm -f none.html
if "$DRUPELET_PROGRAM" report markup.yaml --output none.html 2>page.txt; then exit 1; fi
grep -q 'no result of drupelet' page.txt
[ ! -e none.html ]
if "$DRUPELET_PROGRAM" report --output none.html 2>page.txt; then exit 1; fi
"$DRUPELET_PROGRAM" report --help | grep -q 'Usage: drupelet report'
"$DRUPELET_PROGRAM" report fine.h5 --language es --units us --output spanish.html --force 2>page.txt
grep -q '"language":"es","units":"us"' spanish.html

exec timeout 780 node run.mjs "$work" "$chromium"
