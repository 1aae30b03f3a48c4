"""Tables of docs/validation.md: what stands between two markers is replaced, the rest of the page is written by hand.

    <!-- runs: NAME -->
    ...
    <!-- end -->
"""
import math
import re
import statistics


def _digits(value, error):
    """A number with as many places as its error carries: two of the error's digits, or three of its own."""
    if not math.isfinite(value):
        return ""
    if math.isfinite(error) and error > 1e-9 * abs(value):  # less is rounding
        places = max(0, 1 - math.floor(math.log10(error)))
        return f"{value:.{places}f} ± {error:.{places}f}"
    if value == 0:
        return "0"
    return f"{value:.{max(0, 2 - math.floor(math.log10(abs(value))))}f}"


def _allowed(row):
    if row.low is not None and row.high is not None:
        return f"{row.low:.3g} to {row.high:.3g}"
    if row.low is not None:
        return f"{row.low:.3g} or more"
    return f"{row.high:.3g} or less" if row.high is not None else ""


def table(head, lines):
    return "\n".join(["| " + " | ".join(head) + " |", "|" + " --- |" * len(head)]
                     + ["| " + " | ".join(line) + " |" for line in lines])


def check_table(check):
    lines = [[row.what + (f", {row.unit}" if row.unit else ""), row.published, _digits(row.ours, row.error),
              _allowed(row), row.verdict] for row in check.rows]
    return f"**{check.name}. {check.title}**\n\n" + table(["", "published", "ours", "allowed", ""], lines)


def summary_table(checks):
    lines = []
    for check in checks:
        verdicts = [row.verdict for row in check.rows if row.verdict]
        passed, failed = verdicts.count("pass"), verdicts.count("FAIL")
        other = len(verdicts) - passed - failed
        lines.append([check.name, check.title, "fail" if failed else "pass" if passed else "not run",
                      f"{passed} of {passed + failed}" + (f", {other} not run" if other else "")])
    return table(["check", "what", "verdict", "numbers inside"], lines)


def outside_table(checks, findings):
    """What lies outside the allowed ranges, and the directions that are wrong."""
    lines = []
    for check in checks:
        for row in check.rows:
            if row.verdict == "FAIL":
                bound = row.low if row.low is not None and row.ours < row.low else row.high
                far = f"{row.ours / bound:.2f} times the bound" if row.ours * bound > 0 else \
                    f"{row.ours - bound:+.3g} from the bound"
                lines.append([check.name, row.what, row.published, _digits(row.ours, row.error), _allowed(row), far])
    for f in findings or []:
        if f.sign == "WRONG":
            lines.append(["direction", f.effect, f.published, f.found, "", ""])
    return table(["check", "number", "published", "ours", "allowed", "by how much"], lines) if lines else "Nothing."


def winds_table(profiles, computed):
    """Every number of the checks with the assumed and with the computed wind."""
    lines = [[check.name, one.what, one.published, _allowed(one), _digits(one.ours, one.error),
              _digits(other.ours, other.error)]
             for check, again in zip(profiles, computed) for one, other in zip(check.rows, again.rows)]
    return table(["check", "number", "published", "allowed", "profiles", "computed"], lines)


def signs_table(findings):
    return table(["change", "published", "what was run", "found", "direction", "size"],
                 [[f.effect, f"{f.published} ({f.standing})", f.pair, f.found, f.sign, f.size] for f in findings])


def signs_summary(findings):
    def count(*signs):
        return sum(f.sign in signs for f in findings)

    right = sum(f.sign.startswith("right") for f in findings)
    return (f"Right: {right}. Not clear (less than three standard errors): {count('not clear')}. Wrong: "
            f"{count('WRONG')}. Not run or not expressible: {sum(f.sign.startswith('not run') or f.sign.startswith('not exp') for f in findings)}. "
            f"No direction published: {count('')}.")


def spans_table(found, checks):
    """The numbers of S2, S4 and S5 as chosen, and over what their sources leave open."""
    ours = {(check.name, row.what): row for check in checks for row in check.rows}
    lines = []
    for name, what, values in found:
        row = ours[name, what]
        low, middle, high = min(values), statistics.median(values), max(values)
        lines.append([name, what, row.published, _digits(row.ours, row.error), f"{middle:.3g}", f"{low:.3g} to {high:.3g}"])
    return table(["check", "number", "published", "ours, as chosen", "median of the draws", "lowest to highest"], lines)


def budgets_table(found):
    return table(["", "where", "L of 100 L", "drops below 100 um", "100 to 200 um", "above", "outermost alley", "next alley",
                  "farther in", "met neither leaf nor wood"],
                 [[words, place, f"{whole:.2f}", *[f"{part:.0f} %" for part in parts]] for words, place, whole, *parts in found])


def before_table(before, now):
    """Numbers of the dossier that an earlier version had, too, where something is published: (its rows, today's rows)."""
    ours = {(row["check"], row["number"]): row for row in now}
    lines = []
    for old in before:
        row = ours.get((old["check"], old["number"]))
        ends = [float(row[end]) for end in ("published_low", "published_high") if row and row[end]]
        if not ends:
            continue
        then, today = (float(r["ours"]) for r in (old, row))
        errors = [float(r["standard_error"] or "nan") for r in (old, row)]
        low, high = (float(row[end]) if row[end] else infinite
                     for end, infinite in (("published_low", -math.inf), ("published_high", math.inf)))

        def outside(value):
            return max(low - value, value - high, 0)

        moved = outside(then) - outside(today)
        noise = 2 * math.hypot(*errors)
        published = f"{low:g}" if low == high else f"{low:g} to {high:g}" if len(ends) == 2 else \
            f"more than {low:g}" if math.isfinite(low) else f"less than {high:g}"
        lines.append([old["check"], old["number"], published, _digits(then, errors[0]), _digits(today, errors[1]),
                      "nearer" if moved > noise else "farther" if moved < -noise else ""])
    counts = [sum(line[-1] == word for line in lines) for word in ("nearer", "farther", "")]
    return table(["check", "number", "published", "0.1.0", "now", "by more than two errors"], lines) + \
        f"\n\nNearer to what was published: {counts[0]}. Farther: {counts[1]}. No clear change, or inside a range: {counts[2]}."


def airborne_budget_table(found):
    return table(["past", "of what passes 5 m, all heights", "0.5 to 6 m high", "above 6 m", "now below 20 um", "20 to 40 um",
                  "above", "at the nozzle below 60 um", "60 to 100 um", "above", "outermost alley", "next alley", "farther in"],
                 [[f"{metres} m", *[f"{_digits(*number)} %" for number in numbers]] for metres, numbers in found])


def reasons_table(found):
    return table(["", "4.5 to 5.5 m from the trunks, percent of the rate", "on the trees, percent of the output",
                  "airborne downwind, percent of the output"],
                 [[words, *[_digits(*number) for number in numbers]] for words, *numbers in found])


def airborne_reasons_table(found):
    if found is None:
        return "Not run: needs collectors."
    return table(["", "lines, 5 m over 26 m", "26 m over 52 m", "airborne downwind, percent of the output"],
                 [[words, *[_digits(*number) for number in numbers]] for words, *numbers in found])


def convergence_table(knobs, counts, names, usual):
    lines = []
    for words, key, unit, _ in names:
        for value, numbers in knobs[key]:
            if value == usual[key]:
                continue
            lines.append([f"{words} (`{key}`)", f"{usual[key]:g} → {value:g} {unit}".strip(),
                          *[f"{_digits(*numbers[n])} %" for n in ("canopy", "drift", "ground")]])
    first = table(["", "change", "on leaves and wood", "sum of drift beyond 5 m", "of it on the ground"], lines)
    second = table(["droplets", "on leaves and wood", "sum of drift beyond 5 m", "of it on the ground"],
                   [[f"{n:,}".replace(",", " "), *[f"{_digits(*v[k])} %" for k in ("canopy", "drift", "ground")]]
                    for n, v in counts.items()])
    return first + "\n\nPercent of the output:\n\n" + second


def put(text, name, new):
    """The page with what stands under a marker replaced."""
    pattern = re.compile(r"(<!-- runs: " + re.escape(name) + r" -->\n).*?(<!-- end -->)", re.S)
    if not pattern.search(text):
        raise KeyError(f"the page has no marker {name}")
    return pattern.sub(lambda m: m[1] + new.rstrip("\n") + "\n" + m[2], text)
