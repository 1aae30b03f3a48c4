#!/usr/bin/env bash
# tests/test_verify_command.sh - drupelet verify prints its checks on standard output, nothing else, and passes.
set -euo pipefail
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
"$DRUPELET_PROGRAM" verify >"$work/out" 2>"$work/err"
grep -q Gunn "$work/out"
[ ! -s "$work/err" ]
