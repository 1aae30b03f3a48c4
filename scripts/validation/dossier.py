"""The dossier for programs: every number of the checks beside the published one, as docs/validation.csv. scripts/model-error
makes the model error of it (docs/model-error.md)."""
import csv
import io
import math
import os

COLUMNS = ("check", "number", "unit", "published_low", "published_high", "ours", "standard_error", "counts_as", "trial",
           "in_view")
HEAD = """\
# Numbers of drupelet beside those of field trials. Made by scripts/validate, from its runs; do not edit.
# published_low, published_high: a range as published, twice the same number, or one end where only a bound is known.
# counts_as: the quantity of the model error that a line counts for (docs/model-error.md), by its trial, in_view as in
# tests/data/field_checks.csv. Sources: field_trials.csv and field_checks.csv there. An empty field: none.
"""


def _text(value):
    if value is None or isinstance(value, float) and not math.isfinite(value):
        return ""
    return value if isinstance(value, str) else f"{value:.5g}"


def rows_of(check):
    return [dict(zip(COLUMNS, (check.name, row.what, row.unit, _text(row.published_low), _text(row.published_high),
                               _text(row.ours), _text(row.error), row.counts_as, row.trial, row.in_view)))
            for row in check.rows if math.isfinite(row.ours)]


def read(path):
    with open(path, encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def write(path, checks):
    """Puts the checks into the file; those that were not made now stay as they are."""
    new = {check.name: rows_of(check) for check in checks}
    old = read(path) if os.path.exists(path) else []
    names = sorted({row["check"] for row in old} | set(new), key=lambda name: int(name[1:]))
    text = io.StringIO()
    text.write(HEAD)
    table = csv.DictWriter(text, COLUMNS, lineterminator="\n")
    table.writeheader()
    for name in names:
        table.writerows(new[name] if name in new else [row for row in old if row["check"] == name])
    with open(path + ".part", "w", encoding="utf-8") as file:
        file.write(text.getvalue())
    os.replace(path + ".part", path)
