"""What once was found stays mended."""

from __future__ import annotations

import pytest

from tests.fuzz.corpus import CORPUS
from tests.fuzz.drive import tried, warm


@pytest.fixture(scope="module", autouse=True)
def _warm() -> None:
    warm()


@pytest.mark.parametrize("case", CORPUS, ids=lambda c: c.name)
def test_what_was_found_once(case):
    ran, fault = tried(case)
    assert fault == "", (ran.status, fault)
