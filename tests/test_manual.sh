#!/usr/bin/env bash
# Manual pages say what --help says, and both shells complete commands, options and keys when Tab is pressed.
set -u
[ -e "$DRUPELET_BUILD/manual" ] || { echo "skipped: a build with sanitizers makes no manual pages"; exit 77; }
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
manual=$DRUPELET_BUILD/manual
program=$DRUPELET_PROGRAM
skipped=""
. "$DRUPELET_SOURCE/tests/calls.sh"
commands=$("$program" help | awk '/^Commands:/ { on = 1; next } on && /^$/ { exit } on { print $1 }')
[ "$(wc -w <<<"$commands")" -ge 11 ] || fault "--help lists too few commands: $commands"

# ---- manual pages ----
if [ -e "$manual/drupelet.1.gz" ]; then
    for command in $commands; do
        [ "$command" != help ] || continue
        page=$manual/drupelet-$command.1.gz
        [ -e "$page" ] || { fault "there is no page of drupelet $command"; continue; }
        zcat "$page" | sed 's/\\//g' >"$work/page" # a page has a backslash before each dash
        for option in $("$program" help "$command" | grep -oE -- '^(  -[a-z], |      )--[a-z][a-z-]*' | grep -oE -- '--.*'); do
            grep -qF -- "$option" "$work/page" || fault "the page of drupelet $command lacks $option"
            checks=$((checks + 1))
        done
    done
else
    skipped="pages (built without scdoc)"
fi

# ---- completion ----
cat >"$work/typed" <<'END'
drupelet verif\t
drupelet run --targ\t 2%
drupelet draw --vt\t air.vtr
drupelet run --set weather.wind_s\t4
drupelet sweep only-o\t
drupelet help key\t
END
cat >"$work/wanted" <<'END'
verify
run --target-error 2%
draw --vtk air.vtr
run --set weather.wind_speed=4
sweep only-one.yaml
help keys
END
mkdir "$work/functions"
cp "$manual/completion.zsh" "$work/functions/_drupelet" || exit 1
cd "$work" || exit 1
: >only-one.yaml
completes() # SHELL, HOW IT STARTS, WHAT IT READS
{
    command -v "$1" >/dev/null && command -v python3 >/dev/null || { skipped+=" $1"; return; }
    python3 "$DRUPELET_SOURCE/tests/press_keys.py" "$2" "$3" <typed 2>err | sed 's/ *$//' >got
    cmp -s got wanted || fault "$1 completes otherwise: $(diff got wanted) $(head -c 600 err)"
    checks=$((checks + 1))
}
completes bash "bash --norc --noprofile -i" ". $manual/completion.bash"
completes zsh "zsh -f -i" "fpath=($work/functions \$fpath); autoload -U compinit; compinit -u -D"

echo "$checks checks, $faults faults${skipped:+; skipped: $skipped}"
[ "$checks" -gt 0 ] || exit 77
[ "$faults" -eq 0 ]
