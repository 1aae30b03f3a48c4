"""The figures of docs/leaves.md, drawn as SVG for scripts/leaf-budget: where the spray went, mechanism by mechanism, and
curves with all of them off and on."""
import math
from xml.sax.saxutils import escape

STYLE = ("<style>text{font-family:'Source Sans 3','Helvetica Neue',Arial,'Liberation Sans','DejaVu Sans',sans-serif;"
         "fill:#222;font-size:12px}.head{font-size:14px;font-weight:bold}.tick{font-size:11px;fill:#444}"
         ".grid{stroke:#dcdcdc;stroke-width:.8}.axis{stroke:#444}.line{fill:none;stroke-width:2}</style>")
# Greens stay on the trees, browns lie on the ground, blue is in the air; lightness says it a second time.
ENDS = (("where it hit first", ("first_hit",), "#3f6b35"), ("on trees, later", ("same_row", "other_row"), "#8db472"),
        ("ground inside the block", ("orchard_floor",), "#8a6a3f"), ("ground outside", ("ground_beyond",), "#d9b989"),
        ("left in the air", ("airborne", "aloft"), "#27589b"))
OFF, ON = "#b3701c", "#1a2740"
LEFT, BAR, STEP, WIDTH = 330, 13, 17, 420


def words(x, y, text, kind="", anchor="start"):
    return f'<text x="{x:.1f}" y="{y:.1f}" class="{kind}" text-anchor="{anchor}">{escape(text)}</text>'


def line(x1, y1, x2, y2, kind="grid"):
    return f'<path class="{kind}" d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}"/>'


def svg(width, height, title, parts):
    return "\n".join([f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height:.0f}" '
                      f'viewBox="0 0 {width} {height:.0f}" role="img">', f"<title>{escape(title)}</title>", STYLE,
                      '<rect width="100%" height="100%" fill="#fff"/>', *parts, "</svg>", ""])


def ends_of(budget):
    """L of 100 L by the ends of ENDS."""
    return [sum(p["ends_L_of_100_L"][name]["amount"] for p in budget["by_pass"] for name in names)
            for _, names, _ in ENDS]


def bars(scenarios):
    """Stacked bars. @param scenarios (title, [(mechanisms, summary and budget)])"""
    parts, y = [], 56
    for i, (name, _, colour) in enumerate(ENDS):
        x = 20 + 155 * i
        parts += [f'<rect x="{x}" y="14" width="14" height="12" fill="{colour}"/>', words(x + 20, 25, name)]
    for title, made in scenarios:
        parts.append(words(20, y, title, "head"))
        parts.append(words(LEFT + WIDTH, y, "L of 100 L", "tick", "end"))
        y += 10
        for mechanisms, (_, budget) in made:
            parts.append(words(LEFT - 8, y + 10.5, mechanisms, "", "end"))
            x = LEFT
            for amount, (_, _, colour) in zip(ends_of(budget), ENDS):
                width = WIDTH * amount / 100
                parts.append(f'<rect x="{x:.1f}" y="{y}" width="{width:.2f}" height="{BAR}" fill="{colour}" '
                             'stroke="#fff" stroke-width=".5"/>')
                if width > 26:
                    parts.append(f'<text x="{x + width / 2:.1f}" y="{y + 10.5}" text-anchor="middle" '
                                 f'style="font-size:10px;fill:#fff">{amount:.1f}</text>')
                x += width
            y += STEP
        y += 24
    return svg(LEFT + WIDTH + 20, y, "Where 100 L of spray came to rest, with each mechanism of the leaves alone", parts)


def panel(x, y, width, height, title, curves, labels, top, logarithmic=False, bottom=0.0):
    """Curves over evenly spaced labels. @param curves (colour, values)"""
    def up(value):
        share = (math.log10(max(value, bottom)) - math.log10(bottom)) / (math.log10(top) - math.log10(bottom)) \
            if logarithmic else value / top
        return y + height * (1 - min(max(share, 0), 1))
    across = [x + width * i / max(len(labels) - 1, 1) for i in range(len(labels))]
    ticks = [10.0 ** k for k in range(round(math.log10(bottom)), round(math.log10(top)) + 1)] if logarithmic \
        else [top * k / 4 for k in range(5)]
    parts = [words(x, y - 8, title, "tick")]
    for tick in ticks:
        parts += [line(x, up(tick), x + width, up(tick)), words(x - 5, up(tick) + 4, f"{tick:g}", "tick", "end")]
    every = max(1, math.ceil(len(labels) * 26 / width))
    parts += [words(a, y + height + 15, label, "tick", "middle") for i, (a, label) in enumerate(zip(across, labels))
              if i % every == 0]
    for colour, values in curves:
        points = " ".join(f"{a:.1f},{up(v):.1f}" for a, v in zip(across, values) if v is not None)
        parts.append(f'<polyline class="line" stroke="{colour}" points="{points}"/>')
        parts += [f'<circle cx="{a:.1f}" cy="{up(v):.1f}" r="2.4" fill="{colour}"/>'
                  for a, v in zip(across, values) if v is not None]
    return parts


def airborne(records):
    for record in records:
        ends = {name: e["amount"] for name, e in record["ends_L_of_100_L"].items()}
        sprayed = sum(ends.values())
        yield 100 * ends["airborne"] / sprayed if sprayed > 1e-3 else None


def curves(scenarios):
    """Ground curve, airborne by alley and by size, all off and all on. @param scenarios as bars()"""
    parts, y = [], 84
    for i, (name, colour) in enumerate((("all mechanisms off", OFF), ("all on", ON))):
        parts += [f'<path class="line" stroke="{colour}" d="M{20 + 170 * i} 20h26"/>', words(54 + 170 * i, 24, name)]
    for title, made in scenarios:
        pair = ((OFF, made[0][1]), (ON, made[-1][1]))
        first = made[0][1]
        grounds = [key for key in first[0]["ground_percent_of_rate"]]
        parts.append(words(20, y - 26, title, "head"))
        parts += panel(52, y, 220, 110, "on the ground, % of the rate, by distance, m",
                       [(c, [s["ground_percent_of_rate"][g]["amount"] for g in grounds]) for c, (s, _) in pair],
                       [g.split("_")[1] for g in grounds], 100, True, 0.1)
        parts += panel(326, y, 220, 110, "leaves in the air, % of what the alley gets, by alley",
                       [(c, list(airborne(b["by_pass"]))) for c, (_, b) in pair],
                       [str(p["alley"]) for p in first[1]["by_pass"]], 30)
        parts += panel(600, y, 220, 110, "the same, % of the size, by lower diameter, um",
                       [(c, list(airborne(b["by_size"]))) for c, (_, b) in pair],
                       [f"{p['low_um']:g}" for p in first[1]["by_size"]], 100)
        y += 192
    return svg(850, y - 50, "Ground curve, and what leaves in the air by alley and by droplet size", parts)
