#!/usr/bin/env bash
# The commands of the block sheet as a user calls them: what they print and write, what they refuse, and that a fault leaves
# nothing behind.
set -u
program=$DRUPELET_PROGRAM
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
cp "$DRUPELET_SOURCE/tests/data/block-sheet.yaml" block.yaml || exit 1
. "$DRUPELET_SOURCE/tests/calls.sh"
page_has() { grep -qE -- "$2" "$1" || fault "$1 lacks '$2'"; }
# a page that needs nothing from elsewhere, with the caution on it
page_is_whole()
{
    page_has "$1" '^<!DOCTYPE html>'
    page_has "$1" '</html>$'
    page_has "$1" 'class="caution">For teaching, research and planning trials'
    page_has "$1" "@page\{size:$2;"
    grep -qiE '<script|https?://[^w]|<link|src=|NaN|nan|inf<' "$1" && fault "$1 needs something from elsewhere, or has no number"
}

# ---- catch ----
printf 'side,nozzle,volume_mL,time_s\nleft,1,1000,30\nleft,2,1200,30\nright,1,0,30\n' >catch.csv
expect 0 catch block.yaml --caught catch.csv --as-found found.yaml --output catch.html
out_has 'left +2 .* 20\.0  worn: replace the tip$'
out_has 'rate as found +560 L/ha' # 24 - 2 + 0.4 = 22.4 of 24 L/min
out_has 'licensed adviser'
page_is_whole catch.html A4
expect 0 settings found.yaml
out_has '1 of 12 nozzles plugged: right at 0.90 m'
expect 0 catch block.yaml --caught catch.csv --units us --output catch-us.html
out_has 'rate with new tips +64\.1 US gal/acre'
page_is_whole catch-us.html letter
expect 0 catch block.yaml --caught catch.csv --json
python3 -m json.tool <out >/dev/null || fault "catch --json prints no JSON"
expect 2 catch block.yaml
err_has -- '--caught'
expect 2 catch block.yaml --caught none.csv
expect 2 catch block.yaml --caught catch.csv --units imperial
err_has 'expected metric or us'
expect 2 catch block.yaml --caught catch.csv --as-found block.yaml --force
err_has 'is read'
printf 'side,nozzle,volume_mL,time_s\nleft,1,1000,30\nleft,9,1000,30\n' >bad.csv
expect 2 catch block.yaml --caught bad.csv --as-found bad.yaml --output bad.html
err_has '^bad\.csv:3:6: nozzle: found 9, expected'
[ ! -e bad.yaml ] && [ ! -e bad.html ] || fault "a bad line left a file behind"

# ---- block ----
expect 0 block block.yaml --output block.html
out_has 'time for 50 m +30\.0 s'
out_has 'tree row volume +11250 m3/ha'
out_has 'air suits a speed from +3\.75 km/h'
page_is_whole block.html A4
page_has block.html '<svg '
expect 0 block block.yaml --timed '25 s' --course '50 m' # 2 m/s
out_has 'travel speed +7\.20 km/h +\(by the timed course\)'
out_has 'application rate +500 L/ha'
expect 0 block block.yaml --units us --paper a4 --row-length '800 ft' --turn '30 s' --area '15 acre' --dose '2 pt/100 gal' \
    --price product=9/pt --output block-us.html
out_has 'time for 100 ft +18\.3 s'
out_has 'full tanks +2'
out_has 'product +9/pt'
page_is_whole block-us.html A4
expect 0 block block.yaml --json --gear 'two=4.2 km/h'
python3 -m json.tool <out >/dev/null || fault "block --json prints no JSON"
expect 0 block block.yaml --set 'sprayer.fan.speed=0 rpm'
out_has 'The fan is off'
refused() # MESSAGE ARGUMENT...
{
    local message=$1
    shift
    expect 2 block block.yaml "$@"
    err_has "$message"
}
refused "--area: found '4', expected an area" --area 4
refused '--dose: found' --dose '2 cups/acre'
refused 'found product twice|unit of --dose' --price product=9/pt --price product=9/pt
refused 'fuel goes with --fuel' --price fuel=2/L
refused '--gear: found' --gear fast
refused 'without --timed' --speed '5 km/h' --timed '30 s'
refused 'goes with --row-length' --turn '30 s'
refused 'expected a speed of at most' --timed '2 s'
refused 'expected a share' --cover 15
refused 'sprays no block' --set 'sprayer.travel_speed=0 km/h'
printf 'zone,cover_percent\ntop,20\nroof,20\n' >bad.csv
refused '^bad\.csv:3:1: zone: found roof, expected bottom, middle or top' --cards bad.csv --output bad.html
[ ! -e bad.html ] || fault "a bad line left a page behind"

# ---- hours ----
head_line=time,temperature_C,humidity_percent,wind_m_s,wind_from_deg,cloud_percent
printf '%s\n2031-05-14 05:00,8,92,1,300,10\n2031-05-14 10:00,20,50,3,300,10\n' $head_line >weather.csv
expect 0 hours block.yaml --weather weather.csv --side 'school=120 deg' --latitude '47 deg' --output hours.html
out_has '05:00 .* calm, inversion +towards it$'
out_has 'not for that reason right for spraying'
grep -qiE '\b(may|can|should|good|safe|ok) (to )?spray' out hours.html && fault "hours calls an hour right"
page_is_whole hours.html A4
expect 0 hours block.yaml --weather weather.csv --units us --simulate --at '5 m' --droplets 1000 --no-cache --quiet --json
python3 -m json.tool <out >/dev/null || fault "hours --json prints no JSON"
out_has '"temperature_degF": 46.4'
out_has '"standard_error"'
printf '%s\n06:00,8,92,1,300,10\n07:00,8,92,wind,300,10\n' $head_line >bad.csv
expect 2 hours block.yaml --weather bad.csv --output bad.html
err_has '^bad\.csv:3:12: wind_m_s: found wind, expected a wind speed'
[ ! -e bad.html ] || fault "a bad line left a page behind"
expect 2 hours block.yaml
err_has 'with --weather'
expect 2 hours block.yaml --weather weather.csv --simulate --at '7 m'
err_has 'expected one of 1 m, 3 m,'
expect 2 hours block.yaml --weather weather.csv --at '5 m'
err_has 'goes with --simulate'
expect 2 hours block.yaml --weather weather.csv --side school
err_has '--side: found'
expect 2 hours block.yaml --weather weather.csv --noon noon
err_has '--noon: found'

# ---- distance ----
quick=(--set run.wind=profiles --droplets 2000 --quiet)
expect 0 run block.yaml "${quick[@]}" --output usual.h5
expect 0 run block.yaml "${quick[@]}" --set 'sprayer.fan.speed=350 rpm' --output less-air.h5
expect 0 run block.yaml "${quick[@]}" --seed 4 --output other-seed.h5
expect 0 distance less-air.h5 --below '5 %' --reference usual.h5 --output distance.html
out_has 'not an official drift class'
page_is_whole distance.html A4
expect 0 distance less-air.h5 --below '5 %' --below '1 %' --units us --json
python3 -m json.tool <out >/dev/null || fault "distance --json prints no JSON"
out_has '"distance_ft"'
expect 2 distance less-air.h5 --below '5 %' --reference other-seed.h5 --output bad.html
err_has '^other-seed\.h5: the reference has seed 4, the result 3: run one of them with --seed'
expect 2 distance less-air.h5
err_has 'with --below'
expect 2 distance less-air.h5 --below 5
err_has 'expected a share'
expect 2 distance block.yaml --below '5 %'
[ ! -e bad.html ] || fault "a fault left a page behind"

# ---- record ----
expect 0 record block.yaml --product 'Example <50>' --dose '1.5 kg/ha' --area '6 ha' --output record.html
out_has 'date +____'
out_has '1\.5 kg/ha; 3\.75 kg into a full tank'
page_is_whole record.html A4
page_has record.html 'Example &lt;50&gt;'
expect 0 record block.yaml --class --units us --output class.html
page_is_whole class.html letter
expect 0 record block.yaml --class --answers --json
python3 -m json.tool <out >/dev/null || fault "record --json prints no JSON"
expect 2 record block.yaml --answers
err_has 'goes with --class'
expect 2 record block.yaml --class --dose '1 kg/ha'
err_has 'goes without --product'
expect 2 record block.yaml --area 'much'
err_has '--area: found'
# a sheet is one page of paper, where there is a browser to print it with
if command -v chromium >/dev/null && command -v pdfinfo >/dev/null; then
    expect 0 record block.yaml --product Example --dose '1.5 kg/ha' --area '6 ha' --output record-a4.html
    expect 0 record block.yaml --units us --output record-letter.html
    expect 0 record block.yaml --class --answers --output class-a4.html
    for page in record-a4 record-letter class-a4 class; do
        timeout 120 chromium --headless --no-sandbox --disable-gpu --no-pdf-header-footer --print-to-pdf="$page.pdf" \
            "file://$work/$page.html" >chromium.out 2>&1
        pages=$(pdfinfo "$page.pdf" 2>/dev/null | sed -n 's/^Pages: *//p')
        [ "$pages" = 1 ] || fault "$page takes '$pages' pages: $(tail -n 2 chromium.out)"
    done
fi

echo "$checks calls, $faults faults"
[ "$faults" -eq 0 ]
