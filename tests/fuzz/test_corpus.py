"""What once was found stays mended."""

from __future__ import annotations

import pytest

from tests.fuzz.corpus import CORPUS
from tests.fuzz.drive import tried, warm


@pytest.fixture(scope="module", autouse=True)
def _warm(tmp_path_factory) -> None:
    warm(tmp_path_factory.mktemp("warm"))


@pytest.mark.parametrize("case", CORPUS, ids=lambda c: c.name)
def test_what_was_found_once(case, tmp_path):
    ran, fault = tried(case, tmp_path)
    assert fault == "", (ran.status, fault)
