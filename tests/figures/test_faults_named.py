"""A part that must not be fitted is named at its place, or has a letter there."""

from __future__ import annotations

import re
from functools import cache

import pytest

from linkage.config import load
from linkage.config.starters import FAULT, starters
from linkage.drawing.layout import layout_figure
from linkage.report.pictures import banner_of
from linkage.search import check
from tests.thinned import thinned

FAULTS = [n for n in starters() if n.startswith(FAULT) and "governor" not in n]
BAD = [*FAULTS, "crank-wrong-hand", "scenario-wrongly-swapped"]


@cache
def checked(name):
    return check(load(starters()[name].path).layout)


def blamed(result):
    """Return the parts of the findings for which it must not be fitted, as drawn."""
    layout = result.examined.layout

    def called(ref):
        if ref.kind == "throttle":
            return layout.throttles[ref.name].shaft
        if ref.kind == "rod":
            return f"{layout.rods[ref.name].kind} {ref.name}"
        return str(ref)

    return {called(f.about) for f in result.findings if f.verdict == "do not fit"}


def named(figure, part):
    """Return the labels at a part in any view: its name or its letter."""
    said = re.compile(rf"(?<![\w.]){re.escape(part)}(?![\w.])")
    views = [ax for ax in figure.axes if str(ax.get_gid()).startswith("seen ")]
    labels = [" ".join(t.get_text().split()) for ax in views for t in ax.texts]
    listed = "\n".join(t.get_text() for t in figure.texts if t.get_gid() == "keys")
    entries = re.split(r"; |\n(?! )", listed)
    letters = {e[1 : e.index(")")] for e in entries if e[:1] == "(" and said.search(e)}
    return [label for label in labels if said.search(label) or label in letters]


@pytest.mark.parametrize(
    ("name", "share"),
    [*((n, 0.0) for n in BAD), *thinned([(n, 1.0) for n in BAD], 3)],
)
def test_what_does_not_fit_is_named_at_its_place(name, share):
    result = checked(name)
    x = result.examined
    figure = layout_figure(
        x.assembly, x.working, share=share, ghost=1 - share, banner=banner_of(result)
    )
    parts = blamed(result)
    assert bool(parts) == (result.verdict == "do not fit")
    assert {
        part: named(figure, part) for part in parts if not named(figure, part)
    } == {}
