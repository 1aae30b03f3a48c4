#!/usr/bin/env bash
# Nothing in sim/ takes from the C library a function whose last digit depends on the processor or on the library's version:
# base/elementary.h has them. Objects tell what is called; the text tells, too, what a compiler works out beforehand.
set -u
# C11 7.12 and what GNU adds, but for what has one right answer: roundings, remainders, fma, sqrt, fmin and the like.
names="acos acosh asin asinh atan atan2 atanh cbrt cos cosh erf erfc exp exp10 exp2 expm1 hypot j0 j1 jn lgamma lgamma_r
 gamma log log10 log1p log2 pow pow10 sin sincos sinh tan tanh tgamma y0 y1 yn"
any=$(tr -s ' \n' '|' <<<"$names" | sed 's/|$//')
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT

called_in() # objects: prints the functions, vector variants (_ZGV...) included, each with its object
{
    "$DRUPELET_NM" -A -u "$@" | grep -E "[[:space:]](_ZGV[A-Za-z0-9]+_)?($any)[fl]?(@.*)?\$"
}

written_in() # files: prints the lines with a call, comments and strings left out
{
    awk -v call="(^|[^A-Za-z0-9_.>])($any)[fl]? *\\(" 'BEGIN { RS = "\001" }
        {
            gsub(/"([^"\\\n]|\\.)*"/, "")
            gsub(/\/\*([^*]|\*+[^*\/])*\*+\//, "")
            n = split($0, line, "\n")
            for (i = 1; i <= n; i++) if (line[i] ~ call) print FILENAME ": " line[i]
        }' "$@"
}

cat >"$work/planted.c" <<'END'
#include <math.h>
double planted(double x, double *y); /* exp(x) in a comment, */
double planted(double x, double *y)
{
    *y = acos(-1.0) + x;
    const char *text = "exp(x) in a string";
    return pow(x, *y) + (double)sinf((float)x) + fmax(x, text[0]);
}
END
"$DRUPELET_CC" -O1 -c "$work/planted.c" -o "$work/planted.o" || exit 1
calls=$(called_in "$work/planted.o" | wc -l) lines=$(written_in "$work/planted.c" | wc -l)
if [ "$calls" -ne 2 ] || [ "$lines" -ne 2 ]; then
    echo "2 calls and 2 lines were planted; seen: $calls, $lines" >&2
    exit 1
fi

cd "$DRUPELET_SOURCE" || exit 1
objects=()
while read -r object; do # those whose source is gone are leftovers
    source=sim/${object##*/sim/}
    [ -f "${source%.o}" ] && objects+=("$object")
done < <(find "$DRUPELET_BUILD/CMakeFiles" -path '*/sim/*.o')
mapfile -t files < <(find sim include -name '*.[ch]' -print | sort)
if [ ${#objects[@]} -lt 50 ] || [ ${#files[@]} -lt 50 ]; then
    echo "only ${#objects[@]} objects and ${#files[@]} files found" >&2
    exit 1
fi
{ called_in "${objects[@]}"; written_in "${files[@]}"; } >"$work/found"
cat "$work/found" >&2
echo "${#objects[@]} objects and ${#files[@]} files checked, $(wc -l <"$work/found") calls found"
[ ! -s "$work/found" ]
