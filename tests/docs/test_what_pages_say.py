"""What the pages say of orders, first lines, cures and sources, held to what is done."""

from __future__ import annotations

import json
import tomllib
from dataclasses import replace

import pytest

import linkage
from linkage.forces.friction import bearing_of
from linkage.rules.finding import RANK
from linkage.rules.order import RULES
from tests.bad.record import text_of
from tests.cli.conftest import CONFIGS, run
from tests.docs.markdown import ROOT, read

__all__ = ["run"]

LAYOUTS = ("fault-hole-too-long", "scenario-wrongly-swapped", "twin-side-draught")


@pytest.mark.parametrize("name", LAYOUTS[::2])
@pytest.mark.parametrize("more", [(), ("--all",), ("--geometry",)])
def test_the_first_line_is_the_verdict_with_echo_too(run, name, more):
    """docs/start.md."""
    path = CONFIGS / f"{name}.toml"
    first, *rest = run("check", path, "--echo", *more).out.splitlines()
    assert first.removeprefix("Geometry alone: ").startswith(("FITS", "DO NOT FIT"))
    assert "Understood:" in rest
    geometry = [word for word in more if word == "--geometry"]
    said = json.loads(run("check", path, "--json", *geometry).out)["headline"]
    assert said.split()[:2] == first.split()[:2]


@pytest.mark.parametrize("name", LAYOUTS[:2])
def test_data_are_in_the_order_of_the_page_and_words_the_worst_first(run, name):
    """docs/findings.md."""
    path = CONFIGS / f"{name}.toml"
    codes = [rule.code for rule in RULES]
    findings = json.loads(run("check", path, "--json").out)["findings"]
    places = [codes.index(f["code"]) for f in findings]
    assert places == sorted(places)
    lines = run("check", path, "--all").out.splitlines()
    told = [v for x in lines for v in RANK if x.lower().startswith(v)][
        1:
    ]  # the verdict
    assert len(told) == len(findings)
    ranks = [RANK[v] for v in told]
    assert ranks == sorted(ranks, reverse=True)


def test_what_a_cure_leaves_to_be_looked_at_is_told_after_it():
    """docs/findings.md: it is a cure, though a look comes up that was not there."""
    check = linkage.check(linkage.loads(text_of("27")).layout)
    before = {f.place: f.verdict for f in check.findings}
    cure = next(f.cure for f in check.findings if f.code == "full-throttle")
    assert cure.proven
    after = linkage.check(cure.layout, cures=False)
    assert after.verdict == "look"
    new = [
        f
        for f in after.findings
        if f.verdict == "look" and before.get(f.place) == "fits"
    ]
    assert new
    told = cure.text.split("then look at ")[1]
    assert all(f.rule.called in told for f in new)


def test_a_bearing_that_is_left_out_is_the_spindle_or_twelve_millimetres():
    """docs/layout-file.md and docs/limits.md."""
    layout = linkage.load(CONFIGS / "hanging-pedal.toml").layout
    for name, shaft in layout.shafts.items():
        layout = layout.with_shaft(replace(shaft, bearing=0.0))
        wanted = layout.main.spindle if name == layout.main.shaft else 0.012
        assert bearing_of(layout, name) == wanted
    assert layout.main.spindle == 0.008


#: By what stands in a line of the README: the file, and its cases that are meant.
SOURCES = {
    "examples 4-1": ("norton_4_1", ""),
    "table P4-1": ("norton_p4_1", ""),
    "problem 1-3": ("shigley_1_3", ""),
    "Andrews": ("andrews", ""),
    "Modelica": ("slider_crank_spatial", ""),
    "example 10-6": ("shigley_springs", "Example 10-6"),
}
WORDS = {"from memory": "from memory", "seen": "read in it, or in a document"}


@pytest.mark.parametrize("words", SOURCES)
def test_the_readme_says_which_numbers_are_from_memory(words):
    """Where some were seen it counts those alone, in words."""
    file, case = SOURCES[words]
    path = ROOT / "tests" / "published" / f"{file}.toml"
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    marks = [
        value["mark"]
        for one in table["cases"]
        if one["name"].startswith(case)
        for value in one["values"]
        if value["mark"] != "computed"
    ]
    (line,) = (x for x in read("README.md").splitlines() if words in x and x[:1] == "|")
    mark = "seen" if "seen" in marks else "from memory"
    assert WORDS[mark] in line
    if {*marks} == {"seen", "from memory"}:
        assert marks.count("seen") == 7
        assert "seven values" in line
