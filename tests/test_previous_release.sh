#!/usr/bin/env bash
# What the previous release wrote is read: a result (without paths and slice of the air, to be small) and a sweep of
# tests/data/small-run.yaml, made by drupelet 0.1.0.
set -u
program=$DRUPELET_PROGRAM
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
faults=0
for name in result sweep; do
    gzip -dc "$DRUPELET_TEST_DATA/release-0.1.0/$name.h5.gz" >$name.h5 || exit 1
done
try() # TEXT ARGUMENT...: ends well, and its standard output has the text
{
    local text=$1
    shift
    "$program" "$@" >out 2>err && { [ -z "$text" ] || grep -qF -- "$text" out; } && return
    echo "FAULT: drupelet $*: $(head -c 400 err)" >&2
    faults=$((faults + 1))
}
try '1024 droplets followed, seed 7' summary result.h5
try '' draw result.h5 -o picture.svg
try '' report result.h5 -o page.html
try '' tradeoff sweep.h5 --csv table.csv
try '' report sweep.h5 -o sweep.html
[ -s picture.svg ] && [ -s page.html ] && [ -s table.csv ] && [ -s sweep.html ] || faults=$((faults + 1))
[ "$(grep -vc '^#' table.csv)" -eq 3 ] || { echo "FAULT: table.csv lacks its two cases" >&2; faults=$((faults + 1)); }
exit $((faults > 0))
