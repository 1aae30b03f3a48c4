#!/usr/bin/env bash
# Every mechanism of scripts/leaf-budget has a setting that the program takes, and that is not the default: it turns
# something off. docs/leaves.md names its key.
set -u
cd "$DRUPELET_SOURCE" || exit 1
command -v python3 >/dev/null || { echo "skipped: no python3"; exit 77; }
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
faults=0
fault() { echo "FAULT: $*" >&2; faults=$((faults + 1)); }

python3 scripts/leaf-budget --list >"$work/settings" || exit 1
[ "$(wc -l <"$work/settings")" -ge 5 ] || fault "fewer than five mechanisms"
while read -r setting; do
    "$DRUPELET_PROGRAM" settings scenarios/apple-wall-full-leaf.yaml --set "$setting" >/dev/null 2>"$work/err" ||
        fault "$setting: $(cat "$work/err")"
    key=${setting%%=*} value=${setting#*=}
    row=$(grep -F "| \`$key\` |" docs/scenario-format.md) || { fault "$key: not in scenario-format.md"; continue; }
    default=$(cut -d'|' -f5 <<<"$row" | sed 's/^ *//; s/ (.*//')
    [ "$default" != "$value" ] || fault "$setting is the default"
    grep -qF "\`$key" docs/leaves.md || fault "docs/leaves.md does not name $key"
done <"$work/settings"
echo "$(wc -l <"$work/settings") mechanisms, $faults faults"
[ "$faults" -eq 0 ]
