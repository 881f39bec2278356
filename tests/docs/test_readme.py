"""README.md and docs/start.md run as they stand."""

from __future__ import annotations

import shlex
import shutil

import pytest

from tests.cli.conftest import CONFIGS, run
from tests.docs.markdown import ROOT, blocks, commands, links, read

__all__ = ["run"]

#: What a page checks or compares to show a fault.
NOT_TO_BE_FITTED = (
    ["check", "fault.toml"],
    ["compare", "old.toml", "new.toml"],
    ["compare", "configs/crank-right-hand.toml", "configs/crank-wrong-hand.toml"],
)


@pytest.fixture
def bench(tmp_path, monkeypatch):
    """An empty folder to run a page in, with the shipped layouts beside it."""
    shutil.copytree(CONFIGS, tmp_path / "configs")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def _shell(name: str) -> list[list[str]]:
    return [
        words
        for block in blocks(read(name))
        if block.language == "sh" and block.text.startswith("throttle-linkage")
        for words in commands(block)
    ]


@pytest.mark.parametrize("name", ["README.md", "docs/start.md"])
def test_commands_run_in_their_order(run, bench, name):
    found = _shell(name)
    assert len(found) >= 5
    for program, *words in found:
        assert program == "throttle-linkage"
        ran = run(*words)
        expected = 1 if words[:3] in NOT_TO_BE_FITTED else 0
        assert ran.code == expected, f"{words}: {ran.err}{ran.out}"
        wanted = [words[i + 1] for i, w in enumerate(words) if w in {"-o", "--picture"}]
        assert all((bench / w).stat().st_size > 0 for w in wanted)


@pytest.mark.usefixtures("bench")
def test_screens_are_those_of_the_program(run, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    shown = [b for b in blocks(read("README.md")) if b.text.startswith("$ ")]
    assert len(shown) >= 2
    for block in shown:
        command, _, screen = block.text.partition("\n")
        assert run(*shlex.split(command)[2:]).out == screen


@pytest.mark.usefixtures("bench")
def test_python_runs(capsys):
    found = [b for b in blocks(read("README.md")) if b.language == "python"]
    assert found
    for block in found:
        exec(compile(block.text, "README.md", "exec"), {})  # noqa: S102
    assert capsys.readouterr().out.strip()


@pytest.mark.parametrize("mark", ["main", "tests"])
def test_the_two_special_commands_are_one_line_each(mark):
    found = [b for b in blocks(read("README.md")) if b.mark == mark]
    assert len(found) == 1, f"README.md needs one block after <!-- run: {mark} -->"
    assert found[0].language == "sh"
    assert len(found[0].text.strip().splitlines()) == 1


@pytest.mark.usefixtures("bench")
def test_the_main_command_ends_in_one_that_runs(run):
    """Its last part, after installing, is what this project does."""
    (block,) = [b for b in blocks(read("README.md")) if b.mark == "main"]
    last = block.text.split("&&")[-1].split()
    assert last[0].endswith("throttle-linkage")
    assert run(*last[1:]).code == 0


def _pages():
    found = [*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")]
    return sorted(str(p.relative_to(ROOT)) for p in found)


@pytest.mark.parametrize("name", _pages())
def test_links_lead_somewhere(name):
    folder = (ROOT / name).parent
    for target in links(read(name)):
        place, _, heading = target.partition("#")
        if place.startswith(("http:", "https:")):
            continue
        page = folder / place if place else ROOT / name
        assert page.exists(), f"{name}: {target}"
        if heading:
            titles = [line.lstrip("# ") for line in page.read_text(encoding="utf-8").splitlines() if line.startswith("#")]  # fmt: skip
            assert heading in {_anchor(t) for t in titles}, f"{name}: {target}"


def _anchor(title: str) -> str:
    kept = "".join(c for c in title.lower() if c.isalnum() or c in " -_")
    return kept.replace(" ", "-")


@pytest.mark.parametrize("name", _pages())
def test_no_page_calls_anything_simple(name):
    """What is simple for the writer may not be so for the reader."""
    assert "simply" not in read(name).lower().split()
