"""The first screen of every shipped layout is as it is kept, and answers a stranger."""

from __future__ import annotations

import re
from functools import cache

import pytest

from linkage.rules.order import RULES
from tests.screens.make_screens import HERE, NAMES, kept, screen

#: Lines of a screen: of a usual fault, and of the worst that is shipped.
USUAL, WORST = 24, 32
#: What has most to say: two things turned round, and three slips that explain it.
THE_WORST = ("scenario-wrongly-swapped", "fault-fast-idle-too-far", "fault-rod-rubs")
#: A rod's or cable's length as it is told, or a step that cuts it.
CUT = re.compile(
    r"(Rods|Rods then), between joint centres(, in a slot at the end that drives)?: `|"
    r"(Cables|Cables then), free wire: `|"
    r"(the adjuster of|Set) cable `[^`]+`|"
    r"Cut rod `[^`]+` to \d"
)  # fmt: skip


@cache
def said(name: str) -> str:
    return screen(name)


@pytest.fixture(autouse=True)
def _eighty(monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")


QUESTIONS = ("opens?", "fully?", "shuts?", "locks?", "heavy?")


@pytest.mark.parametrize("name", NAMES)
def test_screen_is_as_it_is_kept(name):
    """Where it should change: ``python -m tests.screens.make_screens``, and look."""
    assert said(name) == kept(name).read_text(encoding="utf-8")


def test_no_screen_is_kept_of_what_is_not_shipped():
    assert {path.stem for path in HERE.glob("*.txt")} == set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_one_screen_holds_it(name):
    lines = said(name).splitlines()
    assert len(lines) <= (WORST if name in THE_WORST else USUAL)
    assert max(map(len, lines)) <= 80


@pytest.mark.parametrize("name", NAMES)
def test_a_strangers_questions_are_answered(name):
    text = said(name)
    first = text.splitlines()[0]
    governed = "governor" in name or "governed" in name
    asked = ("at rest?", "shuts?", "opens?", "parted?", "locks?")
    for question in asked if governed else QUESTIONS:
        assert question in text
    assert CUT.search(" ".join(text.split()))  # what do I cut?
    if first.startswith("DO NOT FIT"):
        assert "Why, worst first:" in text
        steps = re.findall(r"^  \d\. (.+)", text, flags=re.MULTILINE)
        assert steps  # what do I make?
        assert any(re.search(r"\d|`", step) for step in steps)
    else:
        assert first.startswith("FITS")
    assert "Not checked: " in text
    assert f"prove it on the {'engine' if governed else 'vehicle'}" in text
    assert "--all" in text


@pytest.mark.parametrize("name", NAMES)
def test_no_code_stands_in_a_sentence(name):
    without = re.sub(r"\[[a-z-]+\]", "", said(name))
    codes = [rule.code for rule in RULES if "-" in rule.code]
    assert not [code for code in codes if re.search(rf"(?<!-){code}(?!-)", without)]


@pytest.mark.parametrize("name", [n for n in NAMES if n.startswith("fault-")])
def test_the_verdict_stands_first_with_its_fault_in_plain_words(name):
    first = said(name).splitlines()[0]
    if name not in {"fault-no-pedal-stop", "fault-governor-rod-short"}:  # to look at
        assert first.startswith("DO NOT FIT: ")
        assert len(first.removeprefix("DO NOT FIT: ").split()) > 3
