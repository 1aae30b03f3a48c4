"""The five scenarios of docs/air.md and what its tables say of a result, for scripts/air-table and fan-air-table."""

# Choices: hedgerows of evergreen citrus under the large fan of the tall orchard; the apple wall sprayed through a tall
# slot, a tower, on each side.
CITRUS = ["name=Dense citrus", "orchard.row_spacing=6 m", "orchard.tree_spacing=3 m", "canopy.height=4.5 m",
          "canopy.base=0.2 m", "canopy.width=4.4 m", "canopy.leaf_area_index=4.5", "canopy.wood_area_index=0.3",
          "canopy.leaf_width=35 mm", "weather.wind_speed=3 m/s", "weather.wind_height=5.5 m",
          "weather.wind_angle=0 deg"]
NOZZLES = ", ".join("{side: both, tip: fine cone, offset: 0.55 m, height: %.2f m, angle: 5 deg}" % h
                    for h in (0.7, 1.1, 1.5, 1.9, 2.3, 2.7, 3.1))
TOWER = ["name=Apple wall, tower", "sprayer.outlets=[{kind: slot, side: both, offset: 0.50 m, bottom: 0.50 m, "
         "top: 3.30 m, slot: 60 mm}]", f"sprayer.nozzles=[{NOZZLES}]"]
SCENARIOS = (("Apple wall in full leaf", "apple-wall-full-leaf", []),
             ("Apple wall, dormant", "apple-wall-dormant", []),
             ("Vineyard", "vineyard", []),
             ("Dense citrus, round crowns that nearly meet", "tall-globe-orchard", CITRUS),
             ("Apple wall in full leaf, tower sprayer", "apple-wall-full-leaf", TOWER))
GROUND_M, PLANE_M = (1, 3, 5, 10, 20, 50), (5, 20, 50)


def between(axis, place):
    i = max(k for k in range(len(axis) - 1) if axis[k] <= place or k == 0)
    return i, (place - axis[i]) / (axis[i + 1] - axis[i])


def told(e):
    digits = 2 if e["standard_error"] < 0.095 else 1
    return f"{e['amount']:.{digits}f} ± {e['standard_error']:.{digits}f}"


def numbers(s):
    """Name and estimate of where the spray went."""
    fates = s["fates_L_of_100_L"]
    yield "on leaves", fates["leaf"]
    yield "on wood", fates["wood"]
    yield "on the ground in the alleys", fates["ground_alley"]
    yield "on the ground under the rows", fates["ground_row"]
    yield "on the ground downwind", fates["ground_downwind"]
    yield "airborne, left the simulated space", s["airborne_L_of_100_L"]
    for d in GROUND_M:
        yield f"ground at {d} m, % of the rate", s["ground_percent_of_rate"][f"ground_{d}_m"]
    for d in PLANE_M:
        yield f"in the air through the plane at {d} m", s["airborne_percent_of_output"][f"airborne_{d}_m"]


def spray_table(summary, kinds, words):
    """Lines of a table of both kinds of a result."""
    yield "Where 100 L went, L unless said otherwise, ± one standard error:"
    yield ""
    yield f"| number | {' | '.join(words)} |"
    yield "| --- | --- | --- |"
    for (name, one), (_, other) in zip(*(numbers(summary[k]) for k in kinds)):
        yield f"| {name} | {told(one)} | {told(other)} |"


def put_between(page, begin, end, lines):
    """Lines in place of what a page has between two marks."""
    before, rest = page.read_text(encoding="utf-8").split(begin)
    after = rest.split(end)[1]
    page.write_text(f"{before}{begin}\n" + "\n".join(lines) + f"{end}{after}", encoding="utf-8")
