"""Write the generated pages of docs/: ``python -m tests.docs.make_pages``.

Not here: docs/validation.md (`tests.published.make_validation`).
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from tests.docs import (
    api_page,
    findings_page,
    reference_pages,
    slips_page,
    theory_page,
)

if TYPE_CHECKING:
    from collections.abc import Callable

DOCS: Final = Path(__file__).parents[2] / "docs"
PAGES: Final[dict[str, Callable[[], str]]] = {
    "nomenclature.md": reference_pages.nomenclature,
    "limits.md": reference_pages.limits,
    "cli.md": reference_pages.command_line,
    "theory.md": theory_page.theory,
    "findings.md": findings_page.findings,
    "slips.md": slips_page.slips,
    "api.md": api_page.api,
}


def main() -> None:
    """Write every page."""
    for name, page in PAGES.items():
        (DOCS / name).write_text(page(), encoding="utf-8")
        print(f"wrote docs/{name}")  # noqa: T201


if __name__ == "__main__":
    main()
