#!/usr/bin/env bash
# The droplet kernel is vector code at each width, without a call into the mathematical library.
set -u
check="$DRUPELET_SOURCE/scripts/check-vectors"
variants="base v3 v4"
command -v objdump >/dev/null || { echo "skipped: no objdump"; exit 77; }
cache="$DRUPELET_BUILD/CMakeCache.txt"
if [ "$(uname -m)" != x86_64 ] || [ -n "${DRUPELET_FLAGS:-}" ] ||
    ! grep -qE '^CMAKE_BUILD_TYPE:[A-Z]*=(Release|RelWithDebInfo)$' "$cache"; then
    echo "skipped: no optimised build for x86-64"
    exit 77
fi

# The check must see scalar code, and a call.
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cat >"$work/slow.c" <<'END'
#include <math.h>
void slow(float *a, const float *b, int n);
void slow(float *a, const float *b, int n)
{
    for (int i = 1; i < n; i++)
        a[i] = a[i - 1] * b[i] + expf(b[i]);
}
END
"$DRUPELET_CC" -O2 -c "$work/slow.c" -o "$work/slow.o" || exit 1
if seen=$("$check" --object base "$work/slow.o"); then
    echo "scalar code was planted and not seen: $seen" >&2
    exit 1
fi
case $seen in
*"packed: 0 zmm, 0 ymm, 0 xmm; scalar: 2;"*"calls: expf"*) ;;
*)
    echo "what was planted was not counted: $seen" >&2
    exit 1
    ;;
esac

# shellcheck disable=SC2086
"$check" "$DRUPELET_BUILD" $variants
