#!/usr/bin/env bash
# usage: dead_links.sh PAPER.md ...     prints each link to a file or a heading that is not there
export LC_ALL=C.UTF-8
headings() { # as the sites that show Markdown name them: small letters, no punctuation, dashes for blanks
    sed -nE 's/^#+ +//p' "$1" | tr '[:upper:]' '[:lower:]' | sed -E 's/[^[:alnum:] _-]//g; s/ /-/g'
}
for paper in "$@"; do
    while read -r link; do
        target=${link%%#*}
        file=$paper
        [ -z "$target" ] || file=$(dirname "$paper")/$target
        if [ ! -e "$file" ]; then
            echo "$paper: no file $target"
        elif [ "$link" != "$target" ] && ! headings "$file" | grep -qxF -- "${link#*#}"; then
            echo "$paper: no heading $link"
        fi
    done < <(grep -oE '\]\([^)]+\)' "$paper" | sed -E 's/^..//; s/.$//' | grep -vE '^https?:')
done
