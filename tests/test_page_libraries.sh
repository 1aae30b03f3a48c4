#!/usr/bin/env bash
# tests/test_page_libraries.sh - what the page takes from npm packages: nothing of it is in the repository, its licences are
# in the bundles, a second build asks no network, and a missing program is named in one line.
set -euo pipefail
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$DRUPELET_SOURCE"
fault() { echo "test_page_libraries: $1" >&2; exit 1; }

# No lock names a registry, every package has its hash; no script of ours is as long as a bundled library.
for lock in scripts/page-libraries/package-lock.json tests/page/package-lock.json; do
    if grep -q '"resolved"\|://' "$lock"; then fault "$lock names a registry"; fi
    [ "$(grep -c '"node_modules/' "$lock")" -eq "$(grep -c '"integrity": "sha512-' "$lock")" ] || fault "$lock lacks a hash"
done
found=$(find sim scripts tests -name '*.js' -size +64k)
[ -z "$found" ] || fault "bundled code in the repository: $found"

# The bundles of the build hold the licence of every package.
libraries=$DRUPELET_BUILD/page-libraries
for package in "$libraries"/node_modules/*; do
    grep -qx "${package##*/} [0-9.]*" "$libraries/three.js" "$libraries/d3.js" &&
        grep -qF "$(grep -m 1 Copyright "$package/LICENSE")" "$libraries/three.js" "$libraries/d3.js" ||
        fault "the licence of ${package##*/} is not in the page"
done

# Programs that are missing; packages that are there.
mkdir "$work/bin"
for tool in bash cat cmp cp dirname env grep head ls mkdir mv paste rm sed; do
    ln -s "$(command -v "$tool")" "$work/bin/$tool"
done
refuses() # WORD FOLDER: bundling into the folder fails with one line that has the word
{
    if PATH=$work/bin scripts/page-libraries/bundle "$2" 2>"$work/said"; then fault "bundled without $1"; fi
    [ "$(wc -l <"$work/said")" -eq 1 ] && grep -q "$1 is missing" "$work/said" || fault "$(cat "$work/said")"
}
refuses esbuild "$work/empty"
ln -s "$(command -v esbuild)" "$work/bin/esbuild"
refuses npm "$work/empty"
mkdir "$work/full"
cp -r "$libraries/node_modules" "$work/full"
PATH=$work/bin scripts/page-libraries/bundle "$work/full"
for name in three d3; do
    cmp "$work/full/$name.js" "$libraries/$name.js"
done
