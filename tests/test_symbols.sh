#!/usr/bin/env bash
# The shared library exports what its public headers declare with DRUPELET_API: all of it, and nothing else.
set -u
if [ "$DRUPELET_LIBRARY_TYPE" != SHARED_LIBRARY ]; then
    echo "the library is static: nothing is hidden in it"
    exit 77
fi
exported=$("$DRUPELET_NM" -D --defined-only "$DRUPELET_LIBRARY" | awk '{print $3}' | sed 's/@.*//' | sort -u)
declared=$(sed -nE 's/^DRUPELET_API .*[ *](drupelet_[a-z0-9_]+)\(.*/\1/p' "$DRUPELET_SOURCE"/include/drupelet/*.h |
    sort -u)
if [ -z "$declared" ]; then
    echo "no declaration with DRUPELET_API found" >&2
    exit 1
fi
strangers=$(grep -v '^drupelet_' <<<"$exported")
if [ -n "$strangers" ]; then
    echo "exported, but not ours by name:" $strangers >&2
    exit 1
fi
if [ "$exported" != "$declared" ]; then
    echo "declared (<) and exported (>) functions differ:" >&2
    diff <(echo "$declared") <(echo "$exported") >&2
    exit 1
fi
echo "$(wc -l <<<"$exported") functions, all declared"
