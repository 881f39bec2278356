"""Every page of docs/errors runs as it stands, and every code has a page."""

from __future__ import annotations

from pathlib import Path

import pytest

from linkage.errors import LinkageError
from tests.cli.conftest import run
from tests.errors.pages import prepare, read_page

__all__ = ["run"]

FOLDER = Path(__file__).parents[2] / "docs" / "errors"
PAGES = {
    p.stem: read_page(p.read_text(encoding="utf-8"))
    for p in sorted(FOLDER.glob("*.md"))
}
EXAMPLES = [(code, e) for code, page in PAGES.items() for e in page.examples]


def _tree(root: type[LinkageError]) -> set[str]:
    return {root.code}.union(*(_tree(kind) for kind in root.__subclasses__()))


@pytest.mark.parametrize(
    ("code", "example"), EXAMPLES, ids=[f"{c}-{e.title}" for c, e in EXAMPLES]
)
def test_example_prints_what_the_page_says(run, tmp_path, monkeypatch, code, example):
    monkeypatch.chdir(tmp_path)
    prepare(PAGES[code], example, tmp_path)
    before = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    ran = run(*example.words)
    assert ran.err.rstrip("\n") == example.output
    assert ran.code == example.exit_status != 0
    assert ran.out == ""
    assert ran.err.startswith(f"error[{code}]: ")
    assert "\nhint: " in ran.err
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == before


@pytest.mark.parametrize("code", PAGES)
def test_the_file_of_a_page_is_a_good_one(run, tmp_path, code):
    """Else an example might fail for another reason than the one it shows."""
    path = tmp_path / "car.toml"
    path.write_text(PAGES[code].layout, encoding="utf-8")
    assert run("curve", path).code == 0


def test_every_code_has_a_page_of_its_own_name():
    # The root is never raised: only its branches reach a user.
    assert {page.code for page in PAGES.values()} == _tree(LinkageError) - {"L000"}
    assert all(code == page.code for code, page in PAGES.items())


def test_every_page_shows_more_than_one_example():
    assert all(len(page.examples) > 1 for page in PAGES.values())


def test_the_index_names_every_page_and_its_status():
    text = (FOLDER.parent / "errors.md").read_text(encoding="utf-8")
    for kind in _subclasses(LinkageError):
        assert f"| [{kind.code}](errors/{kind.code}.md) | {kind.exit_code} |" in text


def _subclasses(root: type[LinkageError]) -> list[type[LinkageError]]:
    return [k for kind in root.__subclasses__() for k in (kind, *_subclasses(kind))]
