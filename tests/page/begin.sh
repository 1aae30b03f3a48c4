# tests/page/begin.sh - what scripts that open pages begin with: begin FOLDER makes a folder of the build with the driver
# and the checks of accessibility (npm packages, pinned in tests/page/package-lock.json) and goes there. Winds that a run
# of the test has solved serve its other runs; those of former tests do not.
begin()
{
    local tool
    for tool in node chromium; do
        command -v "$tool" >/dev/null ||
            { echo "$(basename "$0"): no $tool; scripts/setup --with-readers installs it" >&2; exit 1; }
    done
    chromium=$(command -v chromium)
    work=$DRUPELET_BUILD/$1
    mkdir -p "$work"
    rm -rf "$work/winds"
    export XDG_CACHE_HOME=$work/winds
    "$DRUPELET_SOURCE/scripts/npm-packages" "$DRUPELET_SOURCE/tests/page" "$work"
    cp "$DRUPELET_SOURCE"/tests/page/*.mjs "$work"
    cd "$work"
}

# The first python3 of the PATH that has h5py, which Debian installs for its own; fails where there is none.
python_with_h5py()
{
    local one
    while read -r one; do
        if "$one" -c 'import h5py' 2>/dev/null; then
            echo "$one"
            return 0
        fi
    done < <(type -ap python3; echo /usr/bin/python3)
    return 1
}
