#!/usr/bin/env bash
# Installs the build to a prefix, then builds and runs a program outside the project against it: by CMake's find_package
# and by pkg-config. The installed tree is moved first, for it must not remember where it was put.
set -eu
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
version=$(sed -nE 's/^project\(drupelet VERSION ([0-9.]+) .*/\1/p' "$DRUPELET_SOURCE/CMakeLists.txt")

"$DRUPELET_CMAKE" --install "$DRUPELET_BUILD" --prefix "$work/first" >/dev/null
mv "$work/first" "$work/prefix"
scenario=$work/prefix/share/drupelet/scenarios/apple-wall-full-leaf.yaml

# by find_package
"$DRUPELET_CMAKE" -S "$DRUPELET_SOURCE/tests/consumer" -B "$work/build" -DCMAKE_C_COMPILER="$DRUPELET_CC" \
    -DCMAKE_PREFIX_PATH="$work/prefix" -DCMAKE_C_FLAGS="$DRUPELET_FLAGS" >/dev/null
"$DRUPELET_CMAKE" --build "$work/build" >/dev/null
"$work/build/consumer" "$version" "$scenario" "$work/by-cmake.h5"

# by pkg-config
export PKG_CONFIG_PATH=$work/prefix/$DRUPELET_LIBDIR/pkgconfig
export LD_LIBRARY_PATH=$work/prefix/$DRUPELET_LIBDIR${LD_LIBRARY_PATH:+:$LD_LIBRARY_PATH}
[ "$(pkg-config --modversion drupelet)" = "$version" ]
static=
[ "$DRUPELET_LIBRARY_TYPE" = SHARED_LIBRARY ] || static=--static
"$DRUPELET_CC" $DRUPELET_FLAGS -std=c11 -o "$work/consumer" "$DRUPELET_SOURCE/tests/consumer/consumer.c" \
    $(pkg-config --cflags --libs $static drupelet) -lm
"$work/consumer" "$version" "$scenario" "$work/by-pkg-config.h5"
cmp "$work/by-cmake.h5" "$work/by-pkg-config.h5"

# the installed program, without the library beside it
unset LD_LIBRARY_PATH
[ "$("$work/prefix/bin/drupelet" --version)" = "drupelet $version" ]
[ -s "$work/prefix/share/doc/drupelet/LICENSE" ]

# the installed papers lead to one another
papers=$work/prefix/share/doc/drupelet
[ -s "$papers/docs/theory.md" ]
bash "$DRUPELET_SOURCE/tests/dead_links.sh" "$papers"/*.md "$papers"/docs/*.md | tee "$work/dead_links"
[ ! -s "$work/dead_links" ]
