#!/usr/bin/env bash
# What a reader of the code may count on: lines of at most 120 columns, no tabs, no blanks at the end of a line, and a first
# line that names the file and says what it is about.
set -u
export LC_ALL=C.UTF-8 # columns are characters

faults_in() # files: prints their faults
{
    awk -v OFS=: '
        FNR == 1 {
            path = FILENAME; sub(/^\.\//, "", path)
            if (index($0, "/* " path " - ") != 1) print FILENAME, 1, " does not open with \"/* " path " - \""
        }
        length($0) > 120 { print FILENAME, FNR, " has " length($0) " columns" }
        /\t/ { print FILENAME, FNR, " has a tab" }
        /[ \t]$/ { print FILENAME, FNR, " ends with a blank" }' "$@"
}

# The check must see a fault of each kind.
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
{ echo '/* other.c - */'; printf '%0121d\n' 0; printf 'a\tb\n'; printf 'c \n'; } >bad.c
seen=$(faults_in bad.c | wc -l)
[ "$seen" -eq 4 ] || { echo "4 faults were planted, $seen seen" >&2; exit 1; }

cd "$DRUPELET_SOURCE" || exit 1
mapfile -t files < <(find sim include tests scripts \( -name '*.[ch]' -o -name '*.js' -o -name '*.mjs' \
    -o -name '*.css' \) -print | sort)
[ ${#files[@]} -gt 0 ] || exit 1
faults_in "${files[@]}" >"$work/faults"
cat "$work/faults" >&2
echo "${#files[@]} files checked, $(wc -l <"$work/faults") faults"
[ ! -s "$work/faults" ]
