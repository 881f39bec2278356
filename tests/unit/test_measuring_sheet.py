"""The measuring sheet: every number of a family has its box, and nothing covers anything."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from matplotlib.patches import Rectangle
from matplotlib.text import Text

from linkage.config import load, loads
from linkage.config.starters import FAULT, starters
from linkage.drawing.canvas import renderer_of
from linkage.drawing.style import PAPER, drawing_style, still_style
from linkage.model.instruments import GROUPS
from linkage.model.refs import Ref
from linkage.report.cautions import CAUTIONS
from linkage.sheet import boxes, measuring_sheet
from linkage.sheet.boxes import PLATE, SPRING
from linkage.sheet.letters import letter_of, lettered, letters
from linkage.sheet.measuring import sheet_pages
from linkage.sheet.page import Page
from linkage.sheet.view import _spring
from linkage.units import parse
from tests.cabled import crossed, drum, push_pull, snail
from tests.docs.letter_starters import with_letters
from tests.figures import overlap
from tests.sprung import torsion_spring
from tests.thinned import thinned

FAMILIES = sorted(name for name in starters() if not name.startswith(FAULT))
CASES = [
    *((name, "a4") for name in FAMILIES),
    *thinned(
        [(name, paper) for paper in PAPER if paper != "a4" for name in FAMILIES], 3
    ),
]
#: What printers may leave out at the edge. [mm]
EDGE = 6.0


@cache
def layout_of(name):
    return load(starters()[name].path).layout


@cache
def pages_of(name, paper, inches=False):
    with drawing_style():
        return sheet_pages(
            layout_of(name), name=name, paper=paper, inches=inches, cautions=CAUTIONS
        )


def texts_of(page):
    return [t for t in page.figure.findobj(Text) if t.get_text() and t.get_visible()]


def box_of(page, text):
    """Return left, bottom, right, top of a text with its frame. [mm]."""
    box = overlap.box_of(text, renderer_of(page.figure))
    return box / page.figure.dpi * 25.4


def clear(page):
    """Return every text with its box, of which none covers another."""
    texts = texts_of(page)
    boxes = np.array([box_of(page, text) for text in texts])
    left, low, right, top = boxes.T[..., None]  # not by `meeting.over`: it places them
    apart = (right <= left.T) | (top <= low.T)
    over = np.argwhere(np.triu(~(apart | apart.T), 1))
    assert [(texts[i], texts[j]) for i, j in over] == []
    return list(zip(texts, boxes, strict=True))


@pytest.mark.parametrize(("name", "paper"), CASES)
def test_no_text_covers_another_and_all_lie_on_the_page(name, paper):
    for page in pages_of(name, paper):
        for text, (left, low, right, top) in clear(page):
            assert left > EDGE, text
            assert low > EDGE, text
            assert right < page.width - EDGE, text
            assert top < page.height - EDGE, text


@pytest.mark.parametrize("weight", ["normal", "bold"])
def test_words_are_written_smaller_where_they_are_wider_than_the_room(weight):
    with still_style():
        page = Page("a4")
        text = page.fitted(20, 20, "spring of the carburettor", 10, 35, weight=weight)
        assert 33 < page.measured(text)[0] < 35
    assert page.fitted(20, 40, "spring", 10, 35, weight=weight).get_fontsize() == 10


@pytest.mark.parametrize(("name", "paper"), CASES)
def test_frames_of_letters_cover_no_hole(name, paper):
    page = pages_of(name, paper)[0]
    boxes = [box_of(page, t) for t in texts_of(page) if t.get_bbox_patch() is not None]
    assert boxes
    for ax in page.figure.axes:
        for line in ax.lines:
            if str(line.get_gid()).startswith(("pin ", "pivot ")):
                x, y = ax.transData.transform(line.get_xydata())[0] / page.figure.dpi * 25.4  # fmt: skip
                for left, low, right, top in boxes:
                    assert not (left < x < right and low < y < top), line


@pytest.mark.parametrize("name", FAMILIES)
def test_every_letter_stands_on_the_drawing_and_at_its_boxes(name):
    layout = layout_of(name)
    first, *tables = pages_of(name, "a4")
    drawn = [t.get_text() for t in texts_of(first) if t.get_bbox_patch() is not None]
    expected = [v for k, v in letters(layout).items() if k.kind != "engine"]
    assert sorted(drawn) == sorted(expected)
    boxes = set()
    for page in tables:
        found = page.figure.findobj(lambda a: isinstance(a, Rectangle) and a.get_gid())
        boxes |= {a.get_gid() for a in found}
    for group in lettered(layout):
        for row in group.rows:
            for number, box in enumerate(row.boxes, start=1):
                called = f"{row.letter}{number}"
                if box.kind == "tick":
                    assert {f"tick {called} {c}" for c in box.choices} <= boxes
                else:
                    assert f"box {called}" in boxes


@pytest.mark.parametrize("name", FAMILIES)
def test_every_number_of_the_starter_has_a_letter(name):
    """What the file gives of a part that turns, joins, pulls or stops is measured."""
    table = tomllib.loads(starters()[name].path.read_text(encoding="utf-8"))
    known = letters(layout_of(name))
    for shaft, inner in table["shafts"].items():
        assert Ref("shaft", shaft) in known
        for arm in inner["arms"]:
            assert Ref("arm", shaft, arm) in known
    for kind, plural in (
        ("rod", "rods"),
        ("spring", "springs"),
        ("throttle", "throttles"),
    ):
        for part in table.get(plural, {}):
            assert Ref(kind, part) in known
    for called, cable in table.get("cables", {}).items():
        points = (
            "from",
            *map(str, range(1, 1 + len(cable.get("sheath_through", ())))),
            "to",
        )
        wanted = {Ref("rod", called), *(Ref("rod", called, part) for part in points)}
        assert wanted <= set(known)
    assert Ref("pedal") in known
    assert len(set(known.values())) == len(known)


def test_boxes_in_words_units_and_instruments():
    page = pages_of("hanging-pedal", "a4")
    words = "\n".join(t.get_text() for p in page for t in texts_of(p))
    for told in ("caliper to 0.5 mm", "tape to 5 mm", "inclinometer to 1°", "spring balance to 1 N", "steel rule to 1 mm", "protractor to 1°", "anticlockwise", "N/mm", "vehicle", "measured by", "date", "datum"):  # fmt: skip
        assert told in words
    assert "Seen from the right: 0° is forward, 90° up; anticlockwise counts +" in words
    assert CAUTIONS[-1].split(";")[0][:60] in words
    inch = pages_of("hanging-pedal", "letter", inches=True)
    words = "\n".join(t.get_text() for p in inch for t in texts_of(p))
    assert "caliper to 1/64 in" in words
    assert 'length = "in"' in words
    assert not re.search(r"\bmm\b|\bN/", words)


def test_a_sheet_is_black_and_white():
    from matplotlib.colors import to_rgb

    for page in pages_of("bulkhead-cross-shaft", "a4"):
        for line in (line for ax in page.figure.axes for line in ax.lines):
            assert to_rgb(line.get_color()) in {(0, 0, 0), (1, 1, 1), (0.35,) * 3}


def test_no_sense_of_the_starter_is_drawn_into_the_blank():
    gids = [str(line.get_gid()) for ax in pages_of("hanging-pedal", "a4")[0].figure.axes for line in ax.lines]  # fmt: skip
    assert not [g for g in gids if g.startswith(("turn ", "stop "))]


def test_letters_leave_out_i_and_o_and_go_on_after_z():
    told = [letter_of(i) for i in range(60)]
    assert len(set(told)) == 60
    assert not [x for x in told if set(x) & {"I", "O"}]
    assert told[23:26] == ["Z", "AA", "AB"]


def test_other_springs_and_throttles_have_boxes_of_their_own():
    text = starters()["twin-side-draught"].path.read_text(encoding="utf-8")
    text += '\n[springs.inner]\nkind = "torsion"\nshaft = "front spindle"\nrate = "0.002 N·m/deg"\npreload = "0.1 N·m"\nturns = 6\nshuts = "anticlockwise"\n'
    text = text.replace("turns = 6\n", "")
    rows = {r.about: r for g in lettered(loads(text).layout) for r in g.rows}
    assert len(rows[Ref("spring", "inner")].boxes) == 3
    assert rows[Ref("spring", "front")].boxes == SPRING
    assert rows[Ref("throttle", "front")].boxes == PLATE
    assert len(rows[Ref("throttle", "kickdown")].boxes) == 2


def test_the_pdf_is_the_same_every_time_and_of_the_paper():
    layout = layout_of("hanging-pedal")
    for paper, (long, short) in PAPER.items():
        data = measuring_sheet(layout, name="hanging-pedal", paper=paper)
        assert data == measuring_sheet(layout, name="hanging-pedal", paper=paper)
        sizes = re.findall(rb"/MediaBox \[ 0 0 ([0-9.]+) ([0-9.]+) \]", data)
        assert len(sizes) == len(pages_of("hanging-pedal", paper))
        for wide, high in sizes:
            assert float(wide) == pytest.approx(short * 72, abs=0.01)
            assert float(high) == pytest.approx(long * 72, abs=0.01)


@pytest.mark.parametrize("name", sorted(n for n in starters() if "govern" not in n))
def test_starters_have_the_letters_of_their_sheet_in_their_comments(name):
    """Written by ``python -m tests.docs.letter_starters``."""
    text = starters()[name].path.read_text(encoding="utf-8")
    assert with_letters(name, text) == text
    assert "# Sheet: A pivot 1 to 3" in text


def test_lettering_changes_comments_alone():
    text = starters()["hanging-pedal"].path.read_text(encoding="utf-8")
    bare = "\n".join(x for x in text.splitlines() if not x.startswith(("# Sheet:", "#        "))) + "\n"  # fmt: skip
    assert with_letters("hanging-pedal", bare) == text
    moved = bare.replace("[shafts.spindle]", "[shafts.other]\npivot = [0, 9, 0]\naxis = \"across\"\narms.a = { length = 9, angle = 0 }\n\n[shafts.spindle]")  # fmt: skip
    moved = moved.replace('[rods.link]', '[rods.more]\nfrom = "pedal.rod"\nto = "other.a"\n\n[rods.link]')  # fmt: skip
    told = with_letters("hanging-pedal", moved)
    assert tomllib.loads(told) == tomllib.loads(moved)
    assert "# Sheet: F pivot 1 to 3, bearing 4, drag 5 to 7; arms" in told


def test_a_layout_without_a_rod_has_no_group_of_them():
    """A plate on the pedal's own shaft; what is asked of the rest is asked."""
    whole = layout_of("hanging-pedal")
    main = replace(whole.main, shaft="pedal")
    alone = replace(
        whole,
        shafts={"pedal": whole.shafts["pedal"]},
        rods={},
        springs={},
        throttles={main.name: main},
        engine=replace(whole.engine, carries=()),
    )
    titles = [group.title for group in lettered(whole)]
    assert "Rods" in titles
    assert "Rods" not in [group.title for group in lettered(alone)]
    assert "Pad travel" in [group.title for group in lettered(alone)]
    assert len(letters(alone)) == len(set(letters(alone).values()))


def test_the_letter_of_a_spring_stands_where_it_is_found():
    """At its anchor; one that has none at its hook, or at its shaft."""
    whole = layout_of("hanging-pedal")
    near, spindle = whole.springs["near"], whole.shafts["spindle"]
    assert _spring(whole, "near") == pytest.approx(near.anchor)
    own = replace(near, kind="measured", anchor=None)
    assert _spring(whole.with_spring(own), "near") == pytest.approx(
        spindle.pin(near.arm)
    )
    wound = torsion_spring("near", "spindle", -1, 0.5, 0.3)
    assert _spring(whole.with_spring(wound), "near") == pytest.approx(spindle.pivot)


def slotted():
    """Return the twin carburettors with a slotted rod and one that only pulls, as text."""
    text = starters()["twin-side-draught"].path.read_text(encoding="utf-8")
    rear = 'to       = "rear spindle.lever"\n'
    for line, more in (
        ("slot     = 36\n", "slot = 30\nlost = 4\n"),
        (rear, f'{rear}only = "pull"\nlost = 8\n'),
    ):
        assert text.count(line) == 1
        text = text.replace(line, more)
    return text


def test_rods_that_lose_motion_have_boxes_for_it_and_their_letters_in_the_file():
    text = slotted()
    layout = loads(text).layout
    rows = {r.about: r for g in lettered(layout) for r in g.rows}
    words = {n: [b.words for b in rows[Ref("rod", n)].boxes] for n in layout.rods}
    assert words["up"] == ["thick", "length", "joints: ball, fork ..."]
    assert words["kickdown"][3:] == ["pin's way in slot", "slot at end", "lost at rest"]
    assert words["rear drop"][3:] == ["can only", "lost at rest"]
    told = with_letters("twin-side-draught", text)
    assert (
        "# Sheet: V diameter 1, length 2, joints 3, slot 4, slot_at 5, lost 6\n" in told
    )
    assert "# Sheet: U diameter 1, length 2, joints 3, only 4, lost 5\n" in told
    assert tomllib.loads(told) == tomllib.loads(text)
    # A number of a comment is that of its box.
    keys = {
        "slot": "pin's way in slot",
        "slot_at": "slot at end",
        "lost": "lost at rest",
    }
    for key, number in re.findall(r"(slot|slot_at|lost) (\d)", told):
        line = next(x for x in told.splitlines() if f"{key} {number}" in x)
        letter = line.split()[2]
        row = next(r for r in rows.values() if r.letter == letter)
        assert row.boxes[int(number) - 1].words == keys[key]


@pytest.mark.parametrize("paper", PAPER)
def test_a_sheet_of_slotted_rods_is_as_clear_and_as_black_as_any(paper):
    with drawing_style():
        pages = sheet_pages(
            loads(slotted()).layout,
            name="own",
            paper=paper,
            inches=False,
            cautions=CAUTIONS,
        )
    for page in pages:
        assert clear(page)
    lines = {str(a.get_gid()): a for ax in pages[0].figure.axes for a in ax.lines}
    assert {"slot kickdown", "slot rear drop"} <= set(lines)
    for name in ("kickdown", "rear drop", "up"):
        assert lines[f"rod {name}"].get_linestyle() == "-"
        assert lines[f"rod {name}"].get_linewidth() == lines["rod up"].get_linewidth()


def test_a_cable_and_its_sheath_have_boxes_in_measuring_order():
    """First what the pedal drives; then along the sheath from the pedal on."""
    groups = lettered(layout_of("cable-drum"))
    rows = next(g.rows for g in groups if g.title == "Cables")
    cable = [Ref("rod", "main", part) for part in ("", "from", "1", "2", "3", "to")]
    assert [row.about for row in rows] == cable
    assert len({row.letter for row in rows}) == 6
    words = [[box.words for box in row.boxes] for row in rows]
    assert words[0][:3] == [
        "wire, thick",
        "sheath, its length",
        "wire, nipple to nipple",
    ]
    assert words[0][3:] == ["hangs loose at rest"]
    assert words[1] == words[5] == ["forward", "to the left", "up", "held on"]
    assert words[2] == ["forward", "to the left", "up"]
    both = lettered(layout_of("push-pull-cable"))
    titles = [g.title for g in both]
    assert titles.index("Cables") < titles.index("Rods")
    row = next(r for g in both for r in g.rows if r.about == Ref("rod", "main"))
    assert [b.words for b in row.boxes][3:] == [
        "lost turning back",
        "stroke in all",
        "push it bears",
    ]


def test_a_cable_of_no_points_has_a_box_for_its_bends_and_its_letter_in_the_file():
    text = starters()["cable-drum"].path.read_text(encoding="utf-8")
    line = "sheath_through  = [[-200, 0, 112], [-420, 40, 90], [-640, 110, 120]]"
    text = text.replace(line, 'bend            = "80 deg"')
    rows = {r.about: r for g in lettered(loads(text).layout) for r in g.rows}
    row = rows[Ref("rod", "main")]
    assert [b.words for b in row.boxes][4:] == ["all bends together"]
    assert not [ref for ref in rows if ref.part == "1"]
    told = " ".join(with_letters("cable-drum", text).replace("#       ", "").split())
    assert f"bend {row.letter}5" in told
    ends = [rows[Ref("rod", "main", part)].letter for part in ("from", "to")]
    assert f"sheath_from {ends[0]} 1 to 3, sheath_from_on {ends[0]}4" in told
    assert f"sheath_to {ends[1]} 1 to 3, sheath_to_on {ends[1]}4" in told


def test_drums_and_snails_have_their_radius_nipple_and_sense():
    def boxes(layout):
        rows = {r.about: r for g in lettered(layout) for r in g.rows}
        row = rows[Ref("arm", "spindle", "drum")]
        return row.words, [b.words for b in row.boxes]

    words, asked = boxes(drum())
    assert words == "arm drum: nipple of a drum"
    assert asked == ["R, middle of wire", "angle of its nipple", "along shaft", "wire lies round it"]  # fmt: skip
    words, asked = boxes(snail())
    assert words == "arm drum: nipple of a snail"
    assert asked[0] == "R at its nipple"
    assert asked[4:8] == ["turn 1, nipple on", "R 1", "turn 2, nipple on", "R 2"]


@pytest.mark.parametrize("make", [drum, snail, crossed, push_pull])
@pytest.mark.parametrize("paper", PAPER)
def test_a_sheet_of_cables_is_as_clear_and_as_black_as_any(make, paper):
    layout = make()
    with drawing_style():
        pages = sheet_pages(
            layout, name="own", paper=paper, inches=False, cautions=CAUTIONS
        )
    for page in pages:
        assert clear(page)
    drawn = [t.get_text() for t in texts_of(pages[0]) if t.get_bbox_patch() is not None]
    assert sorted(drawn) == sorted(
        v for k, v in letters(layout).items() if k.kind != "engine"
    )
    lines = {str(a.get_gid()): a for ax in pages[0].figure.axes for a in ax.lines}
    for name in layout.rods:
        looks = {
            part: (lines[f"{part} {name}"].get_color(), lines[f"{part} {name}"].get_linestyle())
            for part in ("rod", "wire", "sheath", "core")
        }  # fmt: skip
        assert looks.pop("core") == ("white", "-")
        assert set(looks.values()) == {("#000000", "-")}


@pytest.mark.parametrize(
    ("tool", "group"),
    [
        (boxes._TAPE, "pivots"),
        (boxes._TAPE, "pad"),
        (boxes._TAPE, "offsets"),
        (boxes._HOLE, "holes"),
        (boxes._ANGLE, "angles"),
        (boxes._SWING, "swing"),
        (boxes._TRAVEL, "travel"),
    ],
)
def test_a_sheet_asks_for_no_less_than_a_check_assumes(tool, group):
    """The limit of error beside a box is that of the usual tool; inches are rounded."""
    error, kind = GROUPS[group].errors[GROUPS[group].usual], GROUPS[group].kind
    assert parse(tool.metric, kind).value == pytest.approx(error)
    assert parse(tool.inch, kind).value == pytest.approx(error, rel=0.25)
