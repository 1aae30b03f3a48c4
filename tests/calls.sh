# tests/calls.sh - calls of the program and what is expected of them, for the scripts test_*.sh. They are read into a
# script that has set program, and streams where the streams are not to lie in the current folder. A script ends with
# [ "$faults" -eq 0 ].
faults=0
checks=0
: "${streams:=.}"

fault() { echo "FAULT: $*" >&2; faults=$((faults + 1)); }
# expect CODE ARGUMENT...: runs the program; what it prints is in $streams/out and $streams/err
expect()
{
    local wanted=$1 code=0
    shift
    "$program" "$@" >"$streams/out" 2>"$streams/err" </dev/null || code=$?
    checks=$((checks + 1))
    [ "$code" -eq "$wanted" ] || fault "drupelet $*: exit code $code, expected $wanted: $(head -c 400 "$streams/err")"
}
out_has() { grep -qE -- "$1" "$streams/out" || fault "standard output lacks '$1': $(head -c 3000 "$streams/out")"; }
err_has() { grep -qE -- "$1" "$streams/err" || fault "standard error lacks '$1': $(head -c 400 "$streams/err")"; }
out_is_empty() { [ ! -s "$streams/out" ] || fault "standard output should be empty: $(head -c 400 "$streams/out")"; }
err_is_empty() { [ ! -s "$streams/err" ] || fault "standard error should be empty: $(head -c 400 "$streams/err")"; }
same() { cmp -s "$1" "$2" || fault "$1 and $2 differ, though $3"; }
