"""Governed engines: at rest full open, the governor shuts; each fault beside its twin."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from linkage import check, load, loads
from linkage.config import dump
from linkage.errors import LayoutError
from linkage.motion import assemble, sweep
from linkage.report.answers import answers
from linkage.report.cautions import CABLE, brief, cautions
from linkage.report.findings import check_lines
from linkage.report.governed import governed_curve_data, governed_unjudged
from linkage.report.unjudged import unjudged_short
from linkage.rules.governor_words import GOVERNED
from linkage.rules.order import RULES
from linkage.rules.other_words import in_governors_words

STARTER = Path(__file__).parents[2] / "configs" / "governed-engine.toml"
FAULT = STARTER.with_name("fault-governor-rod-short.toml")
TEXT = STARTER.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def layout():
    return load(STARTER).layout


def altered(*pairs):
    """Return the starter with some of its text changed."""
    text = TEXT
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    return loads(text).layout


def found(layout):
    """Return verdicts by code, the worst of each."""
    rank = {"fits": 0, "look": 1, "do not fit": 2}
    out = {}
    for f in check(layout).findings:
        if rank[f.verdict] >= rank[out.get(f.code, "fits")]:
            out[f.code] = f.verdict
    return out


def test_the_starter_fits_by_rules_of_its_own(layout):
    verdicts = found(layout)
    assert set(verdicts.values()) == {"fits"}
    assert set(verdicts) <= {rule.code for rule in GOVERNED}
    assert not set(verdicts) & {rule.code for rule in RULES}


def test_its_lever_stands_half_a_millimetre_to_a_turn_off_at_rest(layout):
    """The trade's "one turn longer", or 0.5 mm off the stop; common practice, no source."""
    (rest,) = (f for f in check(layout).findings if f.code == "governor-rest")
    assert 0.5e-3 <= rest.value <= 1.5e-3


def test_swing_of_a_governed_carburettor(layout):
    """60 to 75 degrees: common practice, no source."""
    assert 60 <= math.degrees(layout.main.swing) <= 75


def test_positions_against_a_root_finder(layout):
    """The lever's turn from the distance of both pins alone, by SciPy."""
    motion = sweep(assemble(layout), np.linspace(0, 0.04, 9))
    length = layout.rods["link"].length

    def pin(shaft, arm, turn):
        return np.array(layout.shafts[shaft].pin(arm, turn))

    for i, travel in enumerate(motion.pad_travel):
        turned = -travel / 0.070  # clockwise
        one = pin("governor", "arm", turned)

        def apart(turn, one=one):
            return np.linalg.norm(pin("spindle", "lever", turn) - one) - length

        expected = brentq(apart, -1.6, 0.3, xtol=1e-13)
        assert motion.turns["spindle"][i] == pytest.approx(expected, abs=1e-9)


def test_one_turn_short_is_named_with_the_length_to_set():
    """Hard on its full stop; set to the length that is told, it fits."""
    layout = load(FAULT).layout
    result = check(layout)
    looks = [f for f in result.findings if f.verdict != "fits"]
    assert [f.code for f in looks] == ["governor-rest"]
    assert "one turn short" in looks[0].text
    length = looks[0].outcome.facts["length"]
    mended = layout.with_rod("link", float(length))
    assert set(found(mended).values()) == {"fits"}


@pytest.mark.parametrize(
    ("pairs", "code", "verdict"),
    [
        # The lever opens the other way: the governor opens it, and the engine runs away.
        ([('opens   = "anticlockwise"', 'opens   = "clockwise"')], "governor-sense", "do not fit"),
        # A rod so long that full power is lost.
        ([("length   = 259.8", "length   = 264")], "governor-rest", "do not fit"),
        ([("length   = 259.8", "length   = 260.6")], "governor-rest", "look"),
        # A lever too long for the governor's travel: without load the engine races.
        ([("length = 38,", "length = 52,"), ("length   = 259.8", "length   = 250.6")], "governor-shuts", "do not fit"),
        # Worn joints: the engine hunts.
        ([("diameter = 5", "diameter = 5\nplay = 1.0")], "governor-play", "look"),
        ([("diameter = 5", "diameter = 5\nplay = 2.5")], "governor-play", "do not fit"),
        # A slot, in which the throttle waits; and a rod that only pushes.
        ([("diameter = 5", "diameter = 5\nslot = 6"), ("length   = 259.8\n", "")], "governor-play", "do not fit"),
        ([("diameter = 5", 'diameter = 5\nonly = "push"'), ("length   = 259.8\n", "")], "governor-play", "do not fit"),
        # The light spring opens: once the rod parts nothing shuts.
        ([('shuts   = "clockwise"', 'shuts   = "anticlockwise"')], "governor-parted", "do not fit"),
        # No light spring, and one too weak against friction.
        ([('preload = "0.08 N·m"', 'preload = "0.012 N·m"'), ('"0.02 N·m/rad"', '"0.001 N·m/rad"')], "governor-parted", "look"),
        # A governor's spring that friction nearly holds.
        ([('drag    = "0.02 N·m"', 'drag    = "0.4 N·m"')], "governor-spring", "do not fit"),
    ],
)  # fmt: skip
def test_what_must_not_run_is_named(pairs, code, verdict):
    assert found(altered(*pairs))[code] == verdict


def test_without_its_light_spring_a_parted_rod_is_looked_at():
    text = TEXT.partition("[springs.light]")[0]
    verdicts = found(loads(text).layout)
    assert verdicts["governor-parted"] == "look"
    assert {v for c, v in verdicts.items() if c != "governor-parted"} == {"fits"}


def test_one_spring_is_enough_and_none_is_not():
    """Of a pedal two are asked; a governor has one."""
    text = TEXT.partition("[springs.governor]")[0]
    verdicts = found(loads(text).layout)
    assert verdicts["governor-spring"] == "do not fit"


def test_a_spring_that_opens_is_right_here_and_wrong_with_a_pedal():
    """The same parts with a pedal in the governor's place are refused."""
    text = TEXT.replace("[governor]", "[pedal]").replace(
        'arm    = "arm"', 'pad = "arm"'
    )
    text = text.replace("turns  =", "presses =").replace("length   = 259.8\n", "")
    text = text.replace('opens   = "anticlockwise"', 'opens   = "clockwise"')
    verdicts = found(loads(text).layout)
    assert verdicts["spring-hand"] == "do not fit"


def test_the_shut_plate_is_pressed_at_the_shut_end(layout):
    """Depression holds the plate where it is shut, which here is the far end."""
    shafts = {**layout.shafts, "spindle": replace(layout.shafts["spindle"], drag=None)}
    x = check(replace(layout, shafts=shafts), cures=False).examined
    drag = np.broadcast_to(x.forces.lines.drags["spindle"], x.motion.pad_travel.shape)
    assert drag[-1] > 1.9 * drag[0]


def test_it_is_written_and_read_again(layout):
    again = loads(dump(layout)).layout
    assert again == layout
    assert "[governor]" in dump(layout)
    assert 'opens = "anticlockwise"' in dump(layout)


@pytest.mark.parametrize(
    ("pairs", "told", "key"),
    [
        ([("[governor]", "[other]")], "other", ("other",)),
        ([('shaft  = "governor"', 'shaft  = "governer"')], "governer", ("governor", "shaft")),
        ([('arm    = "arm"', 'arm    = "arn"')], "arn", ("governor", "arm")),
        ([("travel = 46", "travel = 0")], "travel", ("governor", "travel")),
        ([("travel = 46", "travel = 400")], "half a turn", ("governor", "travel")),
        ([('turns  = "clockwise"', 'turns  = "left"')], "left", ("governor", "turns")),
    ],
)  # fmt: skip
def test_bad_input_is_told_with_its_place(pairs, told, key):
    text = TEXT
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    with pytest.raises(LayoutError) as error:
        loads(text)
    assert told in str(error.value)
    assert error.value.key == key


def test_a_governor_with_a_pedal():
    both = '[pedal]\nshaft = "governor"\npad = "arm"\ntravel = 46\n\n[governor]'
    with pytest.raises(LayoutError, match="a pedal and a governor") as error:
        loads(TEXT.replace("[governor]", both))
    assert error.value.key == ("governor",)


def test_neither_pedal_nor_governor():
    head, _, tail = TEXT.partition("[governor]")
    _, _, rest = tail.partition("\n\n")
    with pytest.raises(LayoutError, match=r"\[pedal\] is missing"):
        loads(f"{head}{rest}")


def test_answers_and_what_was_not_judged(layout):
    result = check(layout)
    told = dict(answers(result))
    assert list(told) == ["at rest?", "shuts?", "opens?", "parted?", "locks?"]
    assert all(text.startswith(("yes", "no")) for text in told.values())
    assert any("the governor itself" in line for line in governed_unjudged(result))
    assert any("play in its joints" in line for line in governed_unjudged(result))


def test_the_curve_falls_from_full_open_to_shut(layout):
    from linkage.motion import working_travel
    from linkage.motion.curve import travel_curve

    assembly = assemble(layout)
    curve = travel_curve(assembly, working_travel(assembly), points=41)
    shares = governed_curve_data(curve)["columns"]["open_share_pct"]
    assert shares[0] > 97
    assert shares[-1] == pytest.approx(0.0, abs=1e-6)
    assert np.all(np.diff(shares) < 0)


def test_words_of_a_pedal_are_not_heard(layout):
    for finding in check(layout).findings:
        for text in (finding.text, finding.short, finding.where):
            assert "pedal" not in text
            assert "pad " not in text


# --- a push-pull cable in the place of the rod ------------------------------------------

CABLE_TABLE = """
[cables.link]
from            = "governor.arm"
to              = "spindle.lever"
works           = "pull and push"
sheath_from     = [60, 0, 72]
sheath_through  = [[115, 0, 66]]
sheath_to       = [170, 0, 62]
sheath_friction = 0.08
stroke          = 60
push_limit      = 300

"""


def cabled(*pairs):
    """Return the starter with a push-pull cable, half a turn off at rest, and changes."""
    head, _, tail = TEXT.partition("[rods.link]")
    _, mark, rest = tail.partition("# 4.")
    table = CABLE_TABLE
    for old, new in pairs:
        assert old in table
        table = table.replace(old, new)
    layout = loads(f"{head}{table}{mark}{rest}").layout
    (rest,) = (f for f in check(layout).findings if f.code == "governor-rest")
    return layout.with_rod("link", float(rest.outcome.facts["length"]))


def test_a_sound_push_pull_cable_fits_and_is_called_a_cable():
    result = check(cabled())
    assert result.verdict == "fits"
    assert {f.verdict for f in result.findings} == {"fits"}
    text = re.sub(r"\[.*?\]", "", " ".join(" ".join(check_lines(result)).split()))
    assert not re.search(r"\b(rod|pedal|pad)\b", text)
    assert "Cables, free wire at rest:" in text
    assert "Part each cable in turn" in text
    told = " ".join(text for _, text in answers(result))
    assert "between cable and arm" in told


@pytest.mark.parametrize(
    ("pairs", "code", "verdict", "told"),
    [
        # Its nipple meets the sheath as the governor shuts; and as its spring opens.
        ([("[60, 0, 72]", "[26, 0, 68]")], "governor-nipple-room", "do not fit", "shuts no further"),
        ([("[170, 0, 62]", "[232, 0, 58]")], "governor-nipple-room", "do not fit", "opens no further"),
        ([("stroke          = 60", "stroke          = 30")], "governor-cable-stroke", "do not fit", "before the governor is"),
        ([("[[115, 0, 66]]", "[[115, 0, 12]]")], "governor-sheath-bend", "do not fit", "bent to a radius"),
        ([("sheath_through  = [[115, 0, 66]]", "bend = 200"), ("= 0.08", "= 0.3")], "governor-sheath-loss", "do not fit", "in all"),
    ],
)  # fmt: skip
def test_a_cable_that_would_not_do_is_refused_of_a_governor_too(
    pairs, code, verdict, told
):
    layout = cabled(*pairs)
    assert found(layout)[code] == verdict
    worst = [
        f for f in check(layout).findings if f.code == code and f.verdict != "fits"
    ]
    assert told in worst[0].text
    for f in worst:
        for text in (f.text, f.short, f.where, f.cure.text if f.cure else ""):
            assert not re.search(r"\b(pedal|pad|foot)\b", text)


def test_one_turn_short_is_said_of_a_cable():
    head, _, tail = TEXT.partition("[rods.link]")
    layout = loads(f"{head}{CABLE_TABLE}# 4.{tail.partition('# 4.')[2]}").layout
    (rest,) = (f for f in check(layout).findings if f.code == "governor-rest")
    assert "the cable is one turn short" in rest.text
    assert "the cable to the plate is one turn short" in rest.short


def test_what_of_a_governors_cable_is_not_judged_is_named():
    """A jammed wire holds the throttle open, and nothing holds the engine then."""
    layout = cabled()
    result = check(layout)
    named = "; ".join(governed_unjudged(result))
    assert "jams in its sheath" in named
    assert "what cables bear, pulled or pushed" in named
    assert "push_limit" not in "; ".join(
        governed_unjudged(check(cabled(("push_limit      = 300\n", ""))))
    )
    assert unjudged_short(result)[0] == "a wire that jams"
    assert cautions(layout)[-1] == CABLE
    assert "A jammed wire holds it open" in brief(layout)[0]
    rods = load(STARTER).layout
    assert CABLE not in cautions(rods)
    assert "jams" not in "; ".join(governed_unjudged(check(rods)))


def test_names_of_rules_say_rod_or_cable_as_the_layout_has_it():
    names = {f.code: f.called for f in check(cabled()).findings}
    assert names["governor-reach"] == "the reach of cables of a governor"


def test_play_that_is_not_known_is_never_passed_over(monkeypatch, layout):
    import linkage.rules.governed as rules
    from linkage.rules import examine

    monkeypatch.setattr(rules, "play_loss", lambda *_: math.nan)
    (o,) = rules.PLAY.judge(examine(layout))
    assert o.applies
    assert o.rank == 2


def test_a_governor_that_comes_to_its_own_end_is_stopped_by_no_floor():
    from linkage.motion import working_travel
    from linkage.motion.curve import travel_curve

    assembly = assemble(altered(("travel = 46", "travel = 30")))
    curve = travel_curve(assembly, working_travel(assembly), points=11)
    assert governed_curve_data(curve)["stopped_by"] == "end of its own travel"


def test_names_are_left_as_they_are():
    assert in_governors_words("`pad` at pad 2 mm") == "`pad` at arm travel 2 mm"


def test_its_picture_has_no_pedal_and_the_plate_open_at_rest(layout):
    """The words and the plate as drawn; looked at besides."""
    from linkage.drawing.layout import layout_figure

    x = check(layout, cures=False).examined
    words = {}
    for share in (0.0, 1.0):
        figure = layout_figure(x.assembly, x.working, share=share, ghost=None)
        texts = [t.get_text() for t in figure.findobj(lambda a: hasattr(a, "get_text"))]
        words[share] = "\n".join(texts)
    assert "engine stopped" in words[0.0]
    assert "68.3° = 98 % of swing" in words[0.0]
    assert "0.0° = 0 % of swing" in words[1.0]
    assert "on its idle stop" in words[1.0]
    for text in words.values():
        assert "engine faster: this shaft" in text
        assert "pedal" not in text
        assert "pad" not in text.split()


@pytest.mark.parametrize("file", ["governed-engine", "hanging-pedal"])
def test_aircraft_are_refused_with_the_reason(file):
    """There a spring opens the throttle once a rod parts; everything else is the maker's."""
    text = STARTER.with_name(f"{file}.toml").read_text(encoding="utf-8")
    text = re.sub(r"(?ms)^\[vehicle\].*?(?=^\[|\Z)", "", text)
    assert loads(f'{text}\n[vehicle]\nuse = "machine"\n').layout == loads(text).layout
    with pytest.raises(LayoutError, match="no aircraft") as error:
        loads(f'{text}\n[vehicle]\nuse = "aircraft"\n')
    assert error.value.key == ("vehicle", "use")
    assert "is to open" in error.value.hint
