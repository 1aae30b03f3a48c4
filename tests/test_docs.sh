#!/usr/bin/env bash
# The papers do not say what a folder or the program's list of commands makes false: no numbers of shipped files, nothing
# that there is a command for among what is left out, and every command in docs/commands.md. Their links lead somewhere, and
# the files that they name are there.
set -u
cd "$DRUPELET_SOURCE" || exit 1
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
faults=0
fault() { echo "FAULT: $*" >&2; faults=$((faults + 1)); }

number='([0-9]+|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)'
counted() { tr '\n' ' ' <"$1" | grep -oE "\`scenarios/(plans/)?\` (holds|has) $number [a-z]+"; } # a sentence may be broken
printf 'The folder `scenarios/` holds\nsix that run.\n' >"$work/counts.md"
[ -n "$(counted "$work/counts.md")" ] || fault "a number that was planted is not seen"
for paper in README.md DEVELOPERS.md docs/*.md; do
    found=$(counted "$paper") && fault "$paper: '$found' is out of date with the next file"
done

# of the commands, those whose names are no words of the field
mapfile -t commands < <("$DRUPELET_PROGRAM" --help | sed -nE 's/^  (settings|draw|report|score|sweep|tradeoff|verify) .*/\1/p')
[ "${#commands[@]}" -eq 7 ] || fault "--help lists other commands: ${commands[*]}"
left_out=$(sed -n '/^## Left out/,$p' docs/model.md)
[ -n "$left_out" ] || fault "docs/model.md has no section of what is left out"
for command in "${commands[@]}"; do
    grep -qiE "\b${command}s?\b" <<<"$left_out" && fault "docs/model.md leaves out '$command', which is a command"
done

# every command, each with a row of its own
mapfile -t commands < <("$DRUPELET_PROGRAM" --help | sed -n '/^Commands:/,/^$/s/^  \([a-z]*\) .*/\1/p')
[ "${#commands[@]}" -ge 12 ] || fault "--help lists ${#commands[@]} commands"
for command in "${commands[@]}"; do
    grep -qE "^\| \`$command[ \`]" docs/commands.md || fault "docs/commands.md has no row for '$command'"
done

# every link leads to a file or a heading
cp README.md "$work/paper.md"
printf '[no file](nowhere.md), [no heading](paper.md#nothing), [both](paper.md#two-commands)\n' >"$work/links.md"
[ "$(bash tests/dead_links.sh "$work/links.md" | wc -l)" -eq 2 ] || fault "of two dead links that were planted not both are seen"
while read -r dead; do fault "$dead"; done < <(bash tests/dead_links.sh README.md DEVELOPERS.md docs/*.md)

# every file of the source that a paper names is there (capitals stand for a name: `tests/test_SUBJECT.c`)
named() { grep -ohE '`(sim|tests|scripts|include|scenarios|docs)/[a-z0-9_./-]+`' "$@" | tr -d '`' | sort -u; }
printf 'See `sim/nowhere/none.c`.\n' >"$work/files.md"
[ "$(named "$work/files.md")" = sim/nowhere/none.c ] || fault "a file that was planted is not seen"
while read -r file; do
    [ -e "$file" ] || fault "the papers name $file, which is not there"
done < <(named README.md DEVELOPERS.md docs/*.md)

echo "$faults faults"
[ "$faults" -eq 0 ]
