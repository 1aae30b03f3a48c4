#!/usr/bin/env bash
# What README.md says that a run prints is what a run prints: the same words, and numbers that agree within the errors of
# both. Few droplets are followed here, so the errors are those of this run.
set -u
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cd "$DRUPELET_SOURCE" || exit 1

bash scripts/first-page --lines 20000 "$DRUPELET_BUILD" >"$work/run" || exit 1
sed -n '/^<!-- run: /,/^<!-- end of run/{/^<!--/d;p}' README.md | sed 's/^    //; 1{/^$/d}; ${/^$/d}' >"$work/readme"

compare() # LINES LINES: fails, with a line for each fault, where they do not say the same
{
    awk '
        # Cuts the line into words and numbers with their errors.
        function read_line(line, value, error,    n) {
            words = ""; n = 0
            while (match(line, /[0-9.]+ \+\/- [0-9.]+/)) {
                words = words substr(line, 1, RSTART - 1) "#"
                split(substr(line, RSTART, RLENGTH), pair, / \+\/- /)
                value[++n] = pair[1]; error[n] = pair[2]
                line = substr(line, RSTART + RLENGTH)
            }
            words = words line
            gsub(/ +/, " ", words)
            return n
        }
        FNR == NR { first[FNR] = $0; lines = FNR; next }
        {
            n = read_line(first[FNR], a, error_a); words_a = words
            m = read_line($0, b, error_b)
            if (n != m || words_a != words) { print "\"" first[FNR] "\" is \"" $0 "\""; faults++; next }
            pairs += n
            for (i = 1; i <= n; i++)  # 5 standard errors: one pair in a million by chance
                if ((a[i] - b[i]) ^ 2 > 25 * (error_a[i] ^ 2 + error_b[i] ^ 2)) { print words ": " a[i] ", " b[i]; faults++ }
        }
        END {
            if (FNR != lines) { print lines " and " FNR " lines"; faults++ }
            if (pairs < 10) { print "only " pairs + 0 " numbers"; faults++ }
            exit faults > 0
        }' "$1" "$2"
}

# The comparison must see a number and a word that are wrong.
sed 's/on leaves  *[0-9.]*/on leaves 41.9/' "$work/readme" >"$work/number"
sed 's/on wood/on bark/' "$work/readme" >"$work/word"
for spoiled in number word; do
    cmp -s "$work/readme" "$work/$spoiled" && { echo "nothing was spoiled: $spoiled" >&2; exit 1; }
    compare "$work/$spoiled" "$work/run" >"$work/seen" && { echo "a wrong $spoiled is not seen" >&2; exit 1; }
done
compare "$work/readme" "$work/run" >&2 || { echo "README.md is out of date: run scripts/first-page" >&2; exit 1; }
for picture in $(grep -o 'docs/figures/[^)]*' README.md); do
    [ -s "$picture" ] || { echo "README.md shows $picture, which is missing" >&2; exit 1; }
done
