#!/usr/bin/env bash
# Installs the build to a prefix, then builds and runs programs outside the project against it: by CMake's find_package
# and by pkg-config. The programs are tests/consumer/consumer.c and those that docs/c.md shows. The installed tree is moved
# first, for it must not remember where it was put.
set -eu
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
version=$(sed -nE 's/^project\(drupelet VERSION ([0-9.]+) .*/\1/p' "$DRUPELET_SOURCE/CMakeLists.txt")

"$DRUPELET_CMAKE" --install "$DRUPELET_BUILD" --prefix "$work/first" >/dev/null
mv "$work/first" "$work/prefix"
scenario=$work/prefix/share/drupelet/scenarios/apple-wall-full-leaf.yaml

# the programs of docs/c.md, each named in its first line
mkdir "$work/examples"
awk -v folder="$work/examples/" '
    /^```c$/ { inside = 1; next }
    /^```$/ { inside = 0; file = ""; next }
    inside && file == "" { file = folder $2 }
    inside { print >file }' "$DRUPELET_SOURCE/docs/c.md"
examples=$(cd "$work/examples" && echo *.c)
[ "$examples" = "deposits.c sweep.c tree.c" ] || { echo "docs/c.md shows $examples" >&2; exit 1; }

# by find_package
"$DRUPELET_CMAKE" -S "$DRUPELET_SOURCE/tests/consumer" -B "$work/build" -DCMAKE_C_COMPILER="$DRUPELET_CC" \
    -DCMAKE_PREFIX_PATH="$work/prefix" -DCMAKE_C_FLAGS="$DRUPELET_FLAGS" -DEXAMPLES="$work/examples" -DVERSION="${version%.*}" >/dev/null
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

# what docs/c.md shows compiles both ways without a warning, and says the same both ways
cd "$work/examples"
for example in $examples; do
    name=${example%.c}
    "$DRUPELET_CC" $DRUPELET_FLAGS -std=c11 -Wall -Wextra -Werror -o "$name" "$example" \
        $(pkg-config --cflags --libs $static drupelet) -lm
    case $name in
    deposits) arguments=("${scenario/apple-wall-full-leaf/drift-trial}") ;;
    sweep) arguments=("$scenario" table.h5) ;;
    *) arguments=() ;;
    esac
    "./$name" "${arguments[@]}" >"$name.out" 2>"$name.err"
    "$work/build/example_$name" "${arguments[@]}" 2>/dev/null | cmp - "$name.out"
done
grep -q '^canopy/row_deposit, 1: ' deposits.out
grep -qE '^  1 1  top  towards_plus_x  [0-9.e-]+ \+/- ' deposits.out
grep -qE '^  dish 5 m  [0-9.e-]+ \+/- ' deposits.out
grep -qE '^on leaves: [0-9.]+ \+/- [0-9.]+ % of the output' tree.out
[ "$(grep -c '^ground_5_m: ' sweep.out)" -eq 3 ]
grep -qx '3 of 3 cases' sweep.err
cd "$work"

# the installed program, without the library beside it
unset LD_LIBRARY_PATH
[ "$("$work/prefix/bin/drupelet" --version)" = "drupelet $version" ]
[ -s "$work/prefix/share/doc/drupelet/LICENSE" ]

# the installed papers lead to one another
papers=$work/prefix/share/doc/drupelet
[ -s "$papers/docs/theory.md" ]
bash "$DRUPELET_SOURCE/tests/dead_links.sh" "$papers"/*.md "$papers"/docs/*.md | tee "$work/dead_links"
[ ! -s "$work/dead_links" ]
