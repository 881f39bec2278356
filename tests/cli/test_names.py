"""Names that a person would write: nothing in the program takes them apart."""

from __future__ import annotations

import json
import re

import pytest

from linkage import config
from linkage.errors import LayoutError
from tests.cli.conftest import CONFIGS

PLAIN = (CONFIGS / "bulkhead-cross-shaft.toml").read_text(encoding="utf-8")


def renamed(text: str, names: dict[str, str]) -> str:
    """Return a layout file with parts renamed, in its tables and wherever named."""
    for old, new in names.items():
        quoted = json.dumps(new, ensure_ascii=False)
        for pattern, by in (
            (rf'^\[(shafts|rods|springs|stops)\."?{old}"?\]', "[{1}.{0}]"),
            (rf'^(shaft\s*= )"{old}"', "{1}{0}"),
            (rf'"{old}\.([\w ]+)"', '{2}.{1}"'),
            (rf'^(carries\s*=.*)"{old}"', "{1}{0}"),
        ):
            text = re.sub(pattern, _by(by, quoted), text, flags=re.MULTILINE)
    return text


def _by(form: str, quoted: str):
    return lambda found: form.format(quoted, found[1], quoted[:-1])


def said(data, words):
    """Return JSON data with words exchanged in every text of it."""
    if isinstance(data, dict):
        return {said(k, words): said(v, words) for k, v in data.items()}
    if isinstance(data, list):
        return [said(x, words) for x in data]
    if isinstance(data, str):
        for old, new in words.items():
            data = data.replace(old, new)
    return data


def findings(run, tmp_path, text):
    path = tmp_path / "layout.toml"
    path.write_text(text, encoding="utf-8")
    ran = run("check", path, "--json")
    assert ran.code in {0, 1}, ran.err
    return json.loads(ran.out)


NAMES = {
    "pedal in front": {"cross shaft": "pedal.cross shaft"},
    "all with pedal in front": {
        "cross shaft": "pedal.shaft",
        "bell crank": "pedal.crank",
        "spindle": "pedal.spindle",
    },
    "words of sentences": {
        "cross shaft": "cross, at rod a and b",
        "bell crank": "pedal and throttle",
        "spindle": "throttle, at pad",
        "down": "rod at 3, and rod",
        "carb": "carb at",
        "near": "spring off, with spring",
    },
    "signs": {
        "cross shaft": 'cross "$a_b{$" 100% <i>',
        "bell crank": "pedal.bell.crank",
        "spindle": "it's [1.5] = \\x #",
        "near": "$",
    },
}
FILES = ("bulkhead-cross-shaft", "fault-engine-rock", "fault-hole-too-long")


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("names", NAMES.values(), ids=NAMES)
def test_findings_and_cures_are_those_of_plain_names(run, tmp_path, names, name):
    plain = (CONFIGS / f"{name}.toml").read_text(encoding="utf-8")
    signs = {old: f"Part{i}" for i, old in enumerate(names)}
    text = renamed(plain, names)
    assert all(
        json.dumps(new, ensure_ascii=False)[:-1] in text for new in names.values()
    )
    found = findings(run, tmp_path, text)
    simple = findings(run, tmp_path, renamed(plain, signs))
    assert found == said(simple, {sign: names[old] for old, sign in signs.items()})


ODD = NAMES["signs"]


@pytest.mark.parametrize(
    ("words", "shows"),
    [
        (("curve", "--csv"), "pad_travel_mm"),
        (("springs",), ODD["bell crank"]),
        (("arm", ODD["spindle"] + ".lever", "--lengths", "33, 34 mm"), "lever"),
        (("check", "--picture", "out.svg"), ODD["spindle"]),
        (("check", "--picture", "out.png"), ODD["spindle"]),
        (("curve", "-o", "out.svg"), "full"),
        (("animate", "-o", "out.html"), ""),
    ],
    ids=lambda x: " ".join(x[:2]) if isinstance(x, tuple) else "",
)
def test_every_command_takes_odd_names(run, tmp_path, monkeypatch, words, shows):
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "odd.toml"
    path.write_text(renamed(PLAIN, ODD), encoding="utf-8")
    ran = run(words[0], path, *words[1:])
    assert ran.code == 0, ran.err
    assert shows in ran.out


def test_a_layout_of_odd_names_is_written_and_read_back():
    layout = config.loads(renamed(PLAIN, ODD)).layout
    assert set(ODD.values()) <= {*layout.shafts, *layout.springs}
    assert config.loads(config.dump(layout)).layout == layout


def test_one_of_several_may_be_called_throttle():
    text = PLAIN.replace("[throttle]", "[throttles.throttle]") + (
        '[throttles."kick, down"]\nkind = "kickdown"\nshaft = "bell crank"\n'
        'opens = "clockwise"\nswing = "90 deg"\n'
    )
    layout = config.loads(text).layout
    assert [*layout.throttles] == ["throttle", "kick, down"]
    assert config.loads(config.dump(layout)).layout == layout
    alone = config.loads(PLAIN.replace("[throttle]", "[throttles.throttle]")).layout
    assert alone == config.loads(PLAIN).layout
    assert config.loads(config.dump(alone)).layout == alone


def test_limits_of_gaps_are_read_and_bounded():
    layout = config.loads(PLAIN + '\n[limits]\ngap_fixed = "8 mm"\n').layout
    assert layout.limits.gap_fixed == 0.008
    with pytest.raises(LayoutError, match="looser than can be meant"):
        config.loads(PLAIN + '\n[limits]\ngap_fixed = "0 mm"\n')


@pytest.mark.parametrize("word", ["exhaust", "obstacle", "bonnet"])
def test_a_table_called_otherwise_leads_to_obstacles(word):
    with pytest.raises(LayoutError, match=f"unknown key `{word}`") as caught:
        config.loads(PLAIN + f"\n[{word}]\nx = 1\n")
    assert "[obstacles.NAME]" in caught.value.hint
