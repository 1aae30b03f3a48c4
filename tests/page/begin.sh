# tests/page/begin.sh - what scripts that open pages begin with: begin FOLDER makes a folder of the build with the driver
# and the checks of accessibility (npm packages, pinned in tests/page/package-lock.json) and goes there.
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
    "$DRUPELET_SOURCE/scripts/npm-packages" "$DRUPELET_SOURCE/tests/page" "$work"
    cp "$DRUPELET_SOURCE"/tests/page/*.mjs "$work"
    cd "$work"
}
