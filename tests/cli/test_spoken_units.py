"""A person who measures in inches and pounds reads inches and pounds, everywhere."""

from __future__ import annotations

import json
import re

import pytest

from linkage.config import load
from linkage.drawing.curve import curve_figure
from linkage.drawing.layout import layout_figure
from linkage.drawing.sizing import sizing_figure
from linkage.drawing.springs import springs_figure
from linkage.forces.summary import spring_card
from linkage.model import Hole
from linkage.motion import assemble, working_travel
from linkage.motion.curve import travel_curve
from linkage.quantities import speak_in
from linkage.search.arm import size_arms
from linkage.search.sized import Choice
from tests.inches import VAN, in_inches
from tests.unit.test_config_measured import QUOTED

#: A unit of the metric system as a word of its own, or in a heading or an axis.
METRIC = re.compile(r"(?<![\w/])(mm|cm|N|N·m|N/mm|°/mm|MPa|kg|m)(?![\w·/])")
INCH = re.compile(r"(?<=\d) in(?! [a-z`])\b|\[in\]|lbf|°/in|kpsi|(?<=\d) lb\b")

COMMANDS = {
    "check": ["check", "CAR"],
    "check --all": ["check", "CAR", "--all"],
    "curve": ["curve", "CAR"],
    "arm": ["arm", "CAR", "spindle.lever"],
    "springs": ["springs", "CAR"],
    "choose": ["springs", "CAR", "--choose", "near", "--rates", "2 to 4 lbf/in by 0.5 lbf/in"],
    "swap": ["swap", "CAR"],
}  # fmt: skip
LAYOUTS = {
    "van": VAN,
    "lever clocked late": in_inches("fault-lever-clocked-late"),
    "springs weak": in_inches("fault-springs-too-weak"),
    "hole long": in_inches("fault-hole-too-long"),
    "twin": in_inches("twin-side-draught"),
    "scenario": in_inches("scenario-before"),
}
#: Arms and springs that are not called as in most layouts.
OTHERS = {"twin": {"spindle.lever": "front spindle.lever", "near": "front"}}


def _said(text):
    """Return the text without names of standards, and without what a slip mistook."""
    return re.sub(r"EN 10270-\d \w+|ISO \d+|(measured|typed|read) in (cm|mm)", "", text)


@pytest.fixture
def file_of(tmp_path):
    def write(name):
        path = tmp_path / "car.toml"
        path.write_text(LAYOUTS[name], encoding="utf-8")
        return path

    return write


#: Choosing a spring and changing the side take long: two of these layouts do.
CASES = [
    (name, command)
    for name in LAYOUTS
    for command in COMMANDS
    if command not in {"choose", "swap"} or name in {"van", "scenario"}
]


@pytest.mark.parametrize(("name", "command"), CASES)
def test_no_metric_word_is_said_to_a_person_with_an_inch_rule(
    run, file_of, name, command
):
    words = [OTHERS.get(name, {}).get(w, w) for w in COMMANDS[command]]
    path = file_of(name)
    ran = run(*[path if w == "CAR" else w for w in words], "--quiet")
    assert ran.code in {0, 1}, ran.err
    assert METRIC.findall(_said(ran.out)) == []
    assert INCH.search(ran.out)


@pytest.mark.parametrize("command", COMMANDS)
def test_a_person_with_a_metric_rule_reads_no_inch(run, configs, command):
    words = [
        configs / "scenario-before.toml" if w == "CAR" else w for w in COMMANDS[command]
    ]
    words = ["0.3 to 0.6 N/mm by 0.1 N/mm" if "lbf" in str(w) else w for w in words]
    out = run(*words, "--quiet").out
    assert INCH.findall(re.sub(r"friction [0-9.]+ in\b", "", out)) == []
    assert METRIC.search(out)


@pytest.mark.parametrize("command", COMMANDS)
def test_plain_data_stay_metric_and_say_so(run, file_of, command):
    path = file_of("van")
    words = [path if w == "CAR" else w for w in COMMANDS[command]]
    data = json.loads(run(*words, "--json").out)
    assert data["units"].startswith("mm, N, N·m and degrees")


def test_a_comparison_speaks_the_units_of_the_old_layout(run, tmp_path):
    old, new = tmp_path / "old.toml", tmp_path / "new.toml"
    old.write_text(in_inches("scenario-before"), encoding="utf-8")
    new.write_text(in_inches("scenario-wrongly-swapped"), encoding="utf-8")
    for more in ((), ("--all",)):
        out = run("compare", old, new, *more).out
        assert METRIC.findall(_said(out)) == []
        assert INCH.search(out)


def test_numbers_of_the_data_are_the_same_whatever_is_spoken(run, file_of, configs):
    path = file_of("scenario")
    inch = json.loads(run("curve", path, "--json").out)
    metric = json.loads(run("curve", configs / "scenario-before.toml", "--json").out)
    for key in ("pad_travel_mm", "local_ratio_deg_per_mm"):
        assert inch["columns"][key] == pytest.approx(metric["columns"][key], abs=0.02)
    head = run("curve", path, "--csv").out.splitlines()[0]
    assert head.startswith("pad_travel_mm,")


def test_cut_lengths_stand_as_fractions_beside(run, file_of):
    out = run("check", file_of("van")).out
    rods = dict(
        re.findall(r"`(up|down|carb)` ([0-9.]+ in \([^)]*\))", out.replace("\n ", ""))
    )
    assert set(rods) == {"up", "down", "carb"}
    for told in rods.values():
        inches, fraction = re.fullmatch(r"([0-9.]+) in \((.*)\)", told).groups()
        whole, part = fraction.split(" ")
        top, bottom = map(int, part.split("/"))
        assert bottom in {2, 4, 8, 16, 32}
        assert int(whole) + top / bottom == pytest.approx(
            float(inches), abs=1 / 64 + 5e-3
        )


def test_an_arm_is_tried_in_steps_of_an_inch_rule_and_told_in_sixty_fourths(
    run, file_of
):
    path = file_of("van")
    data = json.loads(run("arm", path, "spindle.lever", "--json").out)
    steps = [v / 25.4 * 32 for v in data["columns"]["spindle.lever length_mm"]]
    assert steps == pytest.approx([round(s) for s in steps], abs=1e-4)
    out = run("arm", path, "spindle.lever", "--lengths", "1.266 in").out
    assert "1.266 in (1 17/64)" in out


def test_the_other_system_stands_beside_where_it_is_asked_for(run, file_of, configs):
    path = file_of("van")
    metric = configs / "scenario-before.toml"
    for words in (["curve", path], ["springs", path], ["arm", path, "spindle.lever"], ["check", path]):  # fmt: skip
        alone, both = run(*words).out, run(*words, "--both").out
        assert not METRIC.search(_said(alone))
        assert METRIC.search(both)
    assert re.search(r"`carb` [0-9.]+ mm \([0-9.]+ in, [0-9 /]+\)", run("check", metric, "--both").out)  # fmt: skip
    lines = run("curve", metric, "--both", "--rows", "3").out.splitlines()
    assert lines[3].split()[:2] == ["mm", "in"]
    last = lines[7].split()
    assert float(last[0]) / 25.4 == pytest.approx(float(last[1]), abs=0.01)


def test_the_first_layout_speaks_where_two_are_laid_over_each_other(
    run, file_of, configs
):
    path, other = file_of("van"), configs / "scenario-before.toml"
    assert not METRIC.search(run("curve", path, "--over", other).out)
    assert not re.search(r"\d in\b", run("curve", other, "--over", path).out)


def _words(figure):
    from matplotlib.text import Text

    return "\n".join(t.get_text() for t in figure.findobj(Text) if t.get_visible())


def _figures(loaded):
    assembly = assemble(loaded.layout)
    working = working_travel(assembly)
    yield curve_figure([("car", travel_curve(assembly, working))])
    yield layout_figure(assembly, working, share=1.0)
    yield springs_figure(spring_card(assembly, working))
    choice = Choice(
        hole=Hole(shaft="spindle", arm="lever"),
        lengths=(0.0254, 0.03175, 0.0381),
        angles=(loaded.layout.shafts["spindle"].arms["lever"].angle,),
    )
    yield sizing_figure(size_arms(loaded.layout, [choice]), loaded.layout)


def test_pictures_speak_the_files_units(file_of):
    loaded = load(file_of("van"))
    speak_in(loaded.spoken())
    for figure in _figures(loaded):
        words = _words(figure)
        assert not METRIC.search(words), METRIC.findall(words)
        assert INCH.search(words)
    speak_in({})
    for figure in _figures(loaded):
        assert not INCH.search(_words(figure))


def test_the_axes_follow_the_unit(file_of):
    loaded = load(file_of("van"))
    assembly = assemble(loaded.layout)
    working = working_travel(assembly)
    card = spring_card(assembly, working)
    for units, length, force in (
        ({}, 1e-3, 1.0),
        (loaded.spoken(), 0.0254, 4.4482216152605),
    ):
        speak_in(units)
        lines = {
            line.get_gid(): line
            for ax in springs_figure(card).axes
            for line in ax.lines
        }
        pressing = lines["pressing"]
        assert pressing.get_xdata()[-1] == pytest.approx(working.end / length)
        assert pressing.get_ydata() == pytest.approx(
            card.together.pad_force_pressing / force
        )


def test_what_is_written_is_in_the_units_of_the_file_and_the_same(
    run, file_of, tmp_path
):
    path = file_of("van")
    chosen = tmp_path / "chosen.toml"
    assert run("arm", path, "spindle.lever", "-o", chosen).code == 0
    lever = re.search(r"arms\.lever +=.*", chosen.read_text())[0]
    assert re.search(r'length = "1\.3125 in"', lever)
    assert " mm" not in chosen.read_text()
    folder = tmp_path / "swapped"
    assert run("swap", path, "--out-dir", folder).code == 0
    text = (folder / "swapped.toml").read_text()
    assert 'units = { length = "in", angle = "deg", force = "lbf" }' in text
    assert not METRIC.search(
        "\n".join(x for x in text.splitlines() if not x.startswith("#"))
    )
    old, new = load(path).layout, load(folder / "swapped.toml").layout
    assert new.shafts["pedal"].arms == old.shafts["pedal"].arms
    assert new.springs["near"].known == old.springs["near"].known
    assert new.shafts["spindle"].pivot[1] == pytest.approx(
        -old.shafts["spindle"].pivot[1]
    )


def test_ranges_in_inches_go_by_steps_of_an_inch_rule(run, file_of):
    path = file_of("van")
    words = ["--radii", "1 to 1 1/4 in", "--rates", "2 to 3 lbf/in", "--all"]
    data = json.loads(run("springs", path, "--choose", "near", *words, "--json").out)
    radii = {round(v / 25.4 * 16, 4) for v in data["columns"]["hook_radius_mm"]}
    rates = {round(v / 0.1751268352 * 4, 4) for v in data["columns"]["rate_N_per_mm"]}
    assert radii == {16, 17, 18, 19, 20}
    assert rates == {8, 9, 10, 11, 12}


def test_a_cure_in_inches_is_a_hole_that_an_inch_rule_shows(run, file_of):
    out = run("check", file_of("hole long")).out
    told = re.search(
        r"Make arm `spindle.lever` ([0-9.]+) in\s+\(1 ([0-9]+)/([0-9]+)\)", out
    )
    assert float(told[1]) == pytest.approx(1 + int(told[2]) / int(told[3]), abs=6e-4)


def test_check_answers_in_the_inches_in_which_every_length_is_quoted(run, tmp_path):
    path = tmp_path / "car.toml"
    path.write_text(QUOTED, encoding="utf-8")
    ran = run("check", path, "--all")
    assert " in of pad" in ran.out or " in between joint centres" in ran.out
    assert not METRIC.search(_said(ran.out))
