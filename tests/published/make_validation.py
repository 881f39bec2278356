"""Write docs/validation.md from the data files: ``python -m tests.published.make_validation``."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from tests.mutants import page as mutants
from tests.published.read import Row, files, load, rows

PAGE = Path(__file__).parents[2] / "docs" / "validation.md"
HEAD = """# Checked against

Generated from the data files in `tests/published/` by
`python -m tests.published.make_validation`; a test compares the two.

Mark: *seen* — read in the source or in a document that quotes it; *from
memory* — recalled, to be confirmed; *computed* — worked out for this page by
other means, never printed. A printed value must agree to half a unit of its
last digit. A value of a formula must agree to 1e-9.
"""


def _short(value: Decimal, printed: str) -> str:
    """Return ours with two digits more than are printed."""
    exponent = Decimal(printed).as_tuple().exponent
    assert isinstance(exponent, int)
    digits = min(max(2 - exponent, 0), 32)
    if digits > 12 and "E" not in printed and len(printed) < 22:
        digits = 12
    text = f"{value:.{digits}f}"
    return text.removeprefix("-") if Decimal(text) == 0 else text


def _line(row: Row) -> str:
    printed = row.printed
    ours = _short(row.ours, printed)
    if row.formula:
        printed = f"{float(printed):.9f}"
        ours = f"{float(row.ours):.9f}"
        ours = ours.removeprefix("-") if float(ours) == 0 else ours
    small = abs(row.difference) < Decimal("1e-9") and row.formula
    difference = "< 1e-9" if small else f"{float(row.difference):.1e}"
    note = f" {row.erratum}; ±{row.tolerance} allowed" if row.erratum else ""
    return f"| {row.case} | {row.name} | {printed} | {ours} | {difference} | {row.mark} |{note} |"


def page() -> str:
    """Return the whole page."""
    out = [HEAD]
    for path in files():
        data = load(path)
        s = data["source"]
        out.append(f"\n## {s['title']}\n")
        out.append(f"{s['author']}, {s['title']}, {s['edition']}, page: {s['page']}; {s['table']}.\n")  # fmt: skip
        if "note" in data:
            out.append(data["note"] + "\n")
        out.append("| case | value | printed | ours | difference | mark | note |")
        out.append("|---|---|---:|---:|---:|---|---|")
        out += [_line(row) for row in rows() if row.file == path.name]
        for case in data.get("unprinted", []):
            sizes = ", ".join(f"{k} {v}" for k, v in case["inputs"].items())
            out.append(f"| {case['name']} | {sizes} | none here | | | | closure and root finder only |")  # fmt: skip
    return "\n".join(out) + "\n" + mutants.part()


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
