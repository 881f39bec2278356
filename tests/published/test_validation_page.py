"""docs/validation.md is what its maker writes today."""

from __future__ import annotations

from tests.published.make_validation import PAGE, page
from tests.published.read import rows


def test_page_is_up_to_date():
    assert PAGE.read_text(encoding="utf-8") == page()


def test_page_shows_every_value_with_its_mark():
    text = page()
    for row in rows():
        assert row.name in text
        assert row.source["title"] in text
        assert row.formula or row.printed in text
