#!/usr/bin/env bash
# Who may include whom, and which module is the only door to an outside library, to the environment and to the clock.
#     mpi > cli, live > page, sheet > report, verify, sweep > store > result > run > tally > droplet > air > sprayer, orchard > scenario > base
set -u
source_dir=${1:-${DRUPELET_SOURCE:?the folder of the project}}
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT

declare -A level=([base]=0 [scenario]=1 [orchard]=2 [sprayer]=2 [air]=3 [droplet]=4 [tally]=5 [run]=6 [result]=7 [store]=8
                  [report]=9 [verify]=9 [sweep]=9 [page]=10 [sheet]=10 [cli]=11 [live]=11
                  [mpi]=12)
# An outside header, and the modules that may include it.
files="cli store report" kept="cli store report base" # base: base/kept.c
declare -A door=([hdf5.h]=store [hdf5_hl.h]=store [zlib.h]=store [yaml.h]=scenario [locale.h]=base
                 [H5FDdevelop.h]=store
                 [Random123/philox.h]=base [immintrin.h]=base [omp.h]="air run sweep" [mpi.h]=mpi [getopt.h]=cli
                 [time.h]="cli mpi" [signal.h]="cli store" [sys/wait.h]=store [sys/prctl.h]=store [sys/file.h]="store base" [sys/mman.h]=base
                 [pthread.h]=base [poll.h]=base
                 [unistd.h]=$files [fcntl.h]=$files [sys/stat.h]=$kept [dirent.h]="base store" [sys/types.h]=$files)
standard=" assert.h ctype.h errno.h float.h inttypes.h limits.h math.h stdalign.h stdarg.h stdatomic.h stdbool.h
 stddef.h stdint.h stdio.h stdlib.h string.h strings.h "

includes() # of the files, as lines "file line header"
{
    grep -HnE '^[[:space:]]*#[[:space:]]*include' "$@" |
        sed -E 's/^([^:]*):([0-9]+):[^<"]*[<"]([^>"]+)[>"].*/\1 \2 \3/'
}

check_include() # file line header module; prints what is wrong
{
    local header=$3 module=$4 to=${3%%/*}
    if [[ $header == drupelet/* ]]; then
        [ -f "include/$header" ] || echo "$1:$2: $header: there is no such public header"
    elif [[ $standard == *[[:space:]]"$header"[[:space:]]* ]]; then
        :
    elif [ "$module" = public ]; then
        echo "$1:$2: $header: a public header includes only public and standard headers"
    elif [ -n "${door[$header]:-}" ]; then
        [[ " ${door[$header]} " == *" $module "* ]] || echo "$1:$2: $header: only for ${door[$header]}"
    elif [ -n "${level[$to]:-}" ] && [ "$to" != "$header" ]; then
        [ -f "sim/$header" ] || echo "$1:$2: $header: there is no such header"
        if [ "$to" != "$module" ] && [ "${level[$to]}" -ge "${level[$module]}" ]; then
            echo "$1:$2: $header: $module may not include $to"
        fi
    else
        echo "$1:$2: $header: names no module, and is no library that $module may use"
    fi
}

calls() # pattern, remark, files: prints calls of a function, comments cut away
{
    local pattern=$1 remark=$2
    shift 2
    grep -HnE "($pattern)[[:space:]]*\(" "$@" |
        sed -E 's@/\*.*\*/@@g; s@/\*.*@@; s@^([^:]*:[0-9]+:) \* .*@\1@' |
        grep -E "^[^:]*:[0-9]+:(.*[^A-Za-z0-9_])?($pattern)[[:space:]]*\(" | sed "s@\$@  <- $remark@"
}

check_tree() # in the current folder; prints what is wrong, and the number of includes on descriptor 3
{
    local all below_cli file module line header n=0
    mapfile -t all < <(find sim include -name '*.[ch]' | sort)
    mapfile -t below_cli < <(find sim -name '*.[ch]' -not -path 'sim/cli/*' | sort)
    while read -r file line header; do
        n=$((n + 1))
        case $file in
        include/drupelet/*) module=public ;;
        *) module=${file#sim/} module=${module%%/*} ;;
        esac
        if [ "$module" = public ] || [ -n "${level[$module]:-}" ]; then
            check_include "$file" "$line" "$header" "$module"
        else
            echo "$file:$line: module '$module' has no place in the order of modules"
        fi
    done < <(includes "${all[@]}")
    calls 'getenv|secure_getenv|time|clock|clock_gettime|gettimeofday|omp_get_wtime|isatty|exit|abort' 'only in cli' \
        "${below_cli[@]}"
    calls 'rand|srand|drand48|setlocale|gets|strtok|atoi|atof' 'nowhere' "${all[@]}"
    echo "$n" >&3
}

# The check must see a fault of each kind in a tree that has them.
mkdir -p "$work/bad/sim/base" "$work/bad/sim/air" "$work/bad/include/drupelet"
cat >"$work/bad/sim/base/bad.c" <<'END'
#include <hdf5.h>
#include "air/air.h"
#include <nosuchlibrary.h>
int x = rand(); /* rand() */
char *y = getenv("A");
END
printf '#include "base/missing.h"\n' >"$work/bad/sim/air/air.h"
printf '#include "base/status.h"\n#include "drupelet/missing.h"\n' >"$work/bad/include/drupelet/bad.h"
seen=$(cd "$work/bad" && check_tree 3>/dev/null | wc -l)
if [ "$seen" -ne 8 ]; then
    echo "8 faults were planted, $seen seen:" >&2
    (cd "$work/bad" && check_tree 3>/dev/null) >&2
    exit 1
fi

cd "$source_dir" || exit 1
check_tree >"$work/faults" 3>"$work/count"
cat "$work/faults" >&2
echo "$(cat "$work/count") includes checked, $(wc -l <"$work/faults") faults"
[ ! -s "$work/faults" ] && [ "$(cat "$work/count")" -gt 100 ]
