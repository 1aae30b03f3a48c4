#!/usr/bin/env bash
# The program has what the compiler offers against faults that are used for harm: the build says which, and the program's
# own tables show it. And no path of the machine that built it, so that two builds have the same bytes.
set -u
[ -n "${DRUPELET_HARDENED:-}" ] && [ -x "${DRUPELET_READELF:-}" ] || { echo "skipped: no such flags, or no readelf"; exit 77; }
file=$DRUPELET_PROGRAM
faults=0
has() # WHAT PATTERN TEXT
{
    grep -qE -- "$2" <<<"$3" && return
    echo "FAULT: $file lacks $1" >&2
    faults=$((faults + 1))
}
head=$("$DRUPELET_READELF" -hWld "$file" 2>/dev/null)
symbols=$("$DRUPELET_READELF" -Ws --dyn-syms "$file" 2>/dev/null)
has "a place that differs from run to run" 'Type: +DYN' "$head"
for flag in $DRUPELET_HARDENED; do
    case $flag in
    now)
        has "bindings that are fixed at the start" '\(FLAGS(_1)?\).*NOW|BIND_NOW' "$head"
        has "tables that cannot be written afterwards" 'GNU_RELRO' "$head"
        ;;
    -fstack-protector-strong) has "guards of the stack" '__stack_chk_fail' "$symbols" ;;
    fortify) has "checked calls of the C library" '__[a-z]+_chk' "$symbols" ;;
    esac
done
# A build to look for faults in names its sources for the debugger and the sanitizers.
paths=("$DRUPELET_SOURCE" "$DRUPELET_BUILD")
! grep -q '\.debug_info' <<<"$("$DRUPELET_READELF" -SW "$file" 2>/dev/null)" || paths=()
for folder in "${paths[@]}"; do
    ! grep -qaF "$folder/" "$file" || { echo "FAULT: $file names $folder" >&2; faults=$((faults + 1)); }
done
echo "checked: $DRUPELET_HARDENED; $faults faults"
[ "$faults" -eq 0 ]
