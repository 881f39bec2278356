"""The public names: documented, and results that say themselves in one short line."""

from __future__ import annotations

import inspect
from dataclasses import replace
from html.parser import HTMLParser

import numpy as np
import pytest

import linkage
from linkage.tabular import Tabular
from tests.docs.api_page import NAMES
from tests.docs.markdown import read

LONGEST = 200


def made():
    """Yield a result of each public function, for one layout and for rows."""
    loaded = linkage.load(linkage.starter("bulkhead-cross-shaft").path)
    wrong = linkage.load(linkage.starter("fault-hole-too-long").path).layout
    car = loaded.layout
    rows = car.with_arm("spindle.lever", length=[0.030, 0.034])
    yield loaded
    wordy = replace(car, title="a title\nof many words " * 30)
    yield from (wordy, linkage.assemble(wordy), linkage.check(wordy, cures=False))
    yield linkage.travel_curve(linkage.assemble(wordy), linkage.working_travel(linkage.assemble(wordy)))  # fmt: skip
    yield linkage.starter("hanging-pedal")
    for layout in (car, rows):
        assembly = linkage.assemble(layout)
        working = linkage.working_travel(assembly)
        examined = linkage.examine(layout)
        yield from (layout, assembly, working, examined, linkage.judge(examined))
        yield linkage.sweep(assembly, np.linspace(0.0, 0.02, 5))
        yield linkage.travel_curve(assembly, working)
    one = linkage.assemble(car)
    yield linkage.sweep(one, 0.01)
    yield linkage.spring_card(one, linkage.working_travel(one), points=5)
    yield from (linkage.check(car), linkage.check(wrong))
    yield linkage.size_arms(wrong, {"spindle.lever": [0.030, 0.034, 0.045]})
    yield linkage.choose_spring(car, "near", rates=[400.0, 500.0])
    before = linkage.load(linkage.starter("scenario-before").path).layout
    swap = linkage.swap_sides(before, carburettor="turned")
    yield from (swap, linkage.solve_swap(swap))
    yield linkage.compare(car, wrong)


@pytest.fixture(scope="module")
def results():
    return list(made())


def held(thing, found, depth=0):
    """Collect all of ours that a result holds, however deep."""
    if id(thing) in found or depth > 12:
        return
    ours = type(thing).__module__.startswith("linkage.")
    if ours and not isinstance(thing, dict):
        if not type(thing).__name__.startswith("_"):
            found[id(thing)] = thing
        slots = [s for k in type(thing).__mro__ for s in getattr(k, "__slots__", ())]
        names = [*slots, *getattr(thing, "__dict__", {})]
        inner = [getattr(thing, n) for n in names if hasattr(thing, n)]
    else:
        inner = []
    if isinstance(thing, dict):
        inner = list(thing.values())
    elif isinstance(thing, tuple | list):
        inner = list(thing)
    for part in inner:
        held(part, found, depth + 1)


def test_results_and_all_that_they_hold_say_themselves_in_one_short_line(results):
    found = {}
    for result in results:
        held(result, found)
        assert id(result) in found
    for thing in found.values():
        said = repr(thing)
        assert len(said) <= LONGEST, f"{type(thing).__name__}: {said}"
        assert "\n" not in said


def test_every_public_result_that_is_made_here_is_one(results):
    """A class that a public function returns is public itself, or its result is."""
    names = {type(r).__name__ for r in results}
    assert names <= set(linkage.__all__)
    words = {"Check", "Motion", "TravelCurve", "SpringCard", "Sizing", "SpringRows"}
    assert words | {"Swap", "Solution", "Judged", "Layout", "Loaded"} <= names


def test_dir_holds_the_public_names_alone_whatever_was_loaded():
    import linkage.animation
    import linkage.cli

    assert dir(linkage) == sorted([*linkage.__all__, "__version__"])
    names = {}
    exec("from linkage import *", names)  # noqa: S102
    assert set(names) - {"__builtins__"} == set(linkage.__all__)


@pytest.mark.parametrize("name", linkage.__all__)
def test_every_public_name_is_documented(name):
    thing = getattr(linkage, name)
    assert inspect.getdoc(thing)
    assert f"\n### {name}\n" in read("docs/api.md").partition(NAMES)[2]
    if inspect.isfunction(thing):
        page = read("docs/api.md")
        assert (
            f"\n`{name}({next(iter(inspect.signature(thing).parameters), '')}" in page
        )


class Table(HTMLParser):
    """Counts cells a row, and refuses what is not a table."""

    def __init__(self):
        super().__init__()
        self.rows = []

    def handle_starttag(self, tag, attrs):
        assert tag in {"table", "caption", "thead", "tbody", "tr", "th", "td", "p"}
        assert not attrs
        if tag == "tr":
            self.rows.append(0)
        elif tag in {"th", "td"}:
            self.rows[-1] += 1


def test_a_notebook_shows_a_table_of_even_rows(results):
    tabular = [r for r in results if isinstance(r, Tabular)]
    assert len(tabular) > 10
    for result in tabular:
        table = Table()
        table.feed(result._repr_html_())
        assert len(table.rows) >= 2, result
        assert len(set(table.rows)) == 1, result
