#!/usr/bin/env bash
# tests/test_leaf_reference.sh - the tables of tests/data/ on outcomes at a leaf are what scripts/leaf-reference works out.
set -euo pipefail
command -v python3 >/dev/null || { echo "skipped: no python3"; exit 77; }
exec "$DRUPELET_SOURCE/scripts/leaf-reference" --check
