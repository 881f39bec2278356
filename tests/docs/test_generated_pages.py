"""The generated pages are what their maker writes today, and complete."""

from __future__ import annotations

import re

import pytest

from linkage.cli import app
from linkage.model import LIMIT_ROWS
from linkage.quantities import QUANTITIES, SHOWN
from linkage.rules.governor_words import GOVERNED
from linkage.rules.order import RULES
from linkage.search.sources import SOURCES
from tests.docs.make_pages import DOCS, PAGES


def _page(name: str) -> str:
    return (DOCS / name).read_text(encoding="utf-8")


@pytest.mark.parametrize("name", PAGES)
def test_page_is_up_to_date(name):
    """If not: python -m tests.docs.make_pages."""
    assert _page(name) == PAGES[name]()


def test_every_finding_is_on_its_page_and_no_other():
    headings = re.findall(r"^## (\S+)$", _page("findings.md"), re.MULTILINE)
    assert headings == [rule.code for rule in (*RULES, *GOVERNED)]


def test_a_cure_is_promised_where_one_is_sought():
    """Every kind of change that a rule names can be made, and none for no rule."""
    rules = (*RULES, *GOVERNED)
    assert {kind for rule in rules for kind in rule.cures} == set(SOURCES)
    assert all(bool(rule.cure) == bool(rule.cures) for rule in rules)


@pytest.mark.parametrize("key", LIMIT_ROWS)
def test_every_limit_has_its_line_and_source(key):
    line = next(
        x for x in _page("limits.md").splitlines() if x.startswith(f"| `{key}` |")
    )
    assert LIMIT_ROWS[key].source in line


def test_every_quantity_and_kind_has_its_line():
    text = _page("nomenclature.md")
    assert all(f"| {q.name} | `{q.symbol}` |" in text for q in QUANTITIES.values())
    assert all(f"| {kind} | {row.si} |" in text for kind, row in SHOWN.items())


def test_every_command_has_its_help_and_an_example():
    text = _page("cli.md")
    for command in app.registered_commands:
        name = command.callback.__name__
        section = text.split(f"\n## {name}\n")[1].split("\n## ")[0]
        assert f"Example: throttle-linkage {name}" in " ".join(section.split())
