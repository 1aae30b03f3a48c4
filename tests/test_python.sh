#!/usr/bin/env bash
# The module for Python: its tests, the session that docs/python.md records, and the module of an installed package,
# which finds the library beside it wherever the tree was moved to.
set -u
[ "$DRUPELET_LIBRARY_TYPE" = SHARED_LIBRARY ] || { echo "skipped: ctypes needs a shared library"; exit 77; }
[ -z "$DRUPELET_FLAGS" ] || { echo "skipped: Python cannot load a library with sanitizers"; exit 77; }
python=
for one in python3 /usr/bin/python3; do
    "$one" -c 'import numpy, xarray, pandas, h5netcdf, matplotlib' 2>/dev/null && python=$one && break
done
[ -n "$python" ] || {
    echo "skipped: no python3 with numpy, xarray, pandas, h5netcdf and matplotlib (scripts/setup --with-readers)"
    exit 77
}
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
export PYTHONDONTWRITEBYTECODE=1 HOME=$work

DRUPELET_LIBRARY=$DRUPELET_LIBRARY PYTHONPATH=$DRUPELET_SOURCE/scripts/python \
    "$python" -W error::DeprecationWarning:drupelet "$DRUPELET_SOURCE/tests/python/check_module.py" || exit 1

# the check of sessions sees a wrong word, and a statement that fails
mkdir -p "$work/copy/docs"
cp -r "$DRUPELET_SOURCE/scripts" "$DRUPELET_SOURCE/scenarios" "$work/copy"
sed "s/^'uL\/cm2'/'mg\/cm2'/" "$DRUPELET_SOURCE/docs/python.md" >"$work/copy/docs/python.md"
cmp -s "$DRUPELET_SOURCE/docs/python.md" "$work/copy/docs/python.md" && { echo "nothing was spoiled" >&2; exit 1; }
"$python" "$work/copy/scripts/sessions" --check "$DRUPELET_BUILD" python 2>"$work/seen" &&
    { echo "a wrong word is not seen" >&2; exit 1; }
grep -q "^-'mg/cm2'" "$work/seen" || { cat "$work/seen" >&2; exit 1; }
"$python" "$DRUPELET_SOURCE/scripts/sessions" --check "$DRUPELET_BUILD" python || exit 1

# installed, and moved
"$DRUPELET_CMAKE" --install "$DRUPELET_BUILD" --prefix "$work/first" >/dev/null
mv "$work/first" "$work/prefix"
cd "$work" || exit 1
env -u DRUPELET_LIBRARY PYTHONPATH="$work/prefix/share/drupelet/python" "$python" - <<'END' || exit 1
import drupelet, os
from drupelet import library
assert drupelet.__file__.startswith(os.getcwd() + "/prefix/"), drupelet.__file__
assert library.lib._name.startswith(os.getcwd() + "/prefix/"), library.lib._name
result = drupelet.run("prefix/share/drupelet/scenarios/vineyard.yaml", droplets=1000, set={"run.wind": "profiles"})
assert abs(float(result["fates/active_ingredient"].sum()) - 1) < 1e-9
END
export PYTHONPATH=$work/prefix/share/drupelet/python
DRUPELET_LIBRARY=/nowhere/libdrupelet.so "$python" -c 'import drupelet' 2>"$work/seen" &&
    { echo "a library that is not there was taken" >&2; exit 1; }
grep -q 'ImportError: libdrupelet is not found' "$work/seen"
