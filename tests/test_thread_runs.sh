#!/usr/bin/env bash
# Commands that work with several threads end with the same bytes as with one. scripts/sanitize thread watches them here
# for places that two threads write, or one reads while another writes.
set -u
program=$DRUPELET_PROGRAM
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
. "$DRUPELET_SOURCE/tests/calls.sh"

cp "$DRUPELET_TEST_DATA/small-run.yaml" small.yaml
cat >plan.yaml <<'END'
scenario: small.yaml
droplets: 1000
keep: profiles
factors:
  - {key: run.wind, values: [profiles]}
  - {key: weather.relative_humidity, values: [40 %, 60 %, 80 %]}
END
printf '%s\n' time,temperature_C,humidity_percent,wind_m_s 06:00,12,85,1.5 07:00,14,75,2.5 >hours.csv
small=(--droplets 2000 --no-cache --quiet)
for n in 1 4; do
    expect 0 run small.yaml "${small[@]}" --threads $n -o computed-$n.h5
    expect 0 run small.yaml "${small[@]}" --threads $n --set run.wind=profiles --set 'run.target_error=5 %' -o profiles-$n.h5
    expect 0 sweep plan.yaml --no-cache --quiet --threads $n -o sweep-$n.h5
    expect 0 hours small.yaml --weather hours.csv --simulate "${small[@]}" --threads $n --set run.wind=profiles --json
    cp "$streams/out" hours-$n.json
    cp profiles-$n.h5 result.h5
    expect 0 report result.h5 --force -o page-$n.html
    expect 0 draw computed-$n.h5 --force -o picture-$n.svg
done
for file in computed profiles sweep hours page picture; do
    one=$(ls $file-1.*)
    same "$one" "${one/-1./-4.}" "only the number of threads does"
done
[ "$checks" -eq 12 ] || fault "$checks commands, not 12"
[ "$faults" -eq 0 ]
