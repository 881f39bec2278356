"""The page in headless Chromium: plays, scrubs, by keyboard too, alone from its file.

Run with ``pytest --browser``; then a missing browser is a failure.
"""

import base64
import json
import re
import time
from pathlib import Path

import numpy as np
import pytest

from linkage.animation.page import POSITIONS, page
from linkage.config import load
from linkage.drawing.views import view_along
from linkage.forces import statics
from linkage.model import NAMED
from linkage.motion import sweep
from linkage.search import check
from tests.browser import chromium

pytestmark = pytest.mark.browser
CONFIGS = Path(__file__).parents[2] / "configs"
NAMES = ("fault-wrong-sense", "swapped-push-rod")
LAST = POSITIONS - 1
#: Where the pins of a layout stand, in points of its drawing.
PINS = """(k) => Object.fromEntries([...document.querySelectorAll('.layout')[k]
  .querySelectorAll('[data-view="seen from the right"] [data-pin]')].map(g => [g.dataset.pin,
  g.getAttribute('transform').match(/[-\\d.]+/g).map(Number)]))"""


@pytest.fixture(scope="module")
def checks():
    return [check(load(CONFIGS / f"{n}.toml").layout, cures=False) for n in NAMES]


@pytest.fixture(scope="module")
def address(checks, tmp_path_factory):
    """Return the address of a page in a folder of its own."""
    path = tmp_path_factory.mktemp("page") / "both.html"
    path.write_text(page(checks), encoding="utf-8")
    return path.as_uri()


@pytest.fixture(scope="module")
def browser():
    """Return a tab of a browser, which ends with the tests."""
    found = chromium.find()
    if found is None:
        pytest.fail("no chromium on the path: install Debian's package `chromium`")
    tab = chromium.Page(found)
    yield tab
    tab.close()


@pytest.fixture
def still(browser, address):
    """Return the tab with the page open, for a user who wants little motion."""
    browser.errors.clear()
    browser.requests.clear()
    browser.media(prefers_reduced_motion="reduce")
    browser.open(address)
    yield browser
    assert browser.errors == []
    assert browser.requests == [address]  # the file itself and nothing else


def pins(tab, layout):
    return tab.value(f"({PINS})({layout})")


def scrub(tab, place):
    tab.value(f"(() => {{ const s = document.getElementById('pedal'); s.value = {place}; s.dispatchEvent(new Event('input', {{bubbles: true}})); }})()")  # fmt: skip


def until(true, patience=15.0):
    """Wait until something is so, as long as a busy machine may take."""
    end = time.monotonic() + patience
    while not true():
        assert time.monotonic() < end
        time.sleep(0.03)


def slider(tab):
    return int(tab.value("document.getElementById('pedal').value"))


def text_of(tab, selector):
    return tab.value(f"document.querySelector({json.dumps(selector)}).textContent")


def expected(checked, pad):
    """Right and up of every hole, seen from the right, at a pad travel. [mm].

    Levers that the rods would take beyond their stops stay at them.
    """
    x = checked.examined
    motion = sweep(x.assembly, np.array([min(pad, x.working.end)]))
    view = view_along(NAMED["across"])
    out = {}
    for name, shaft in x.layout.shafts.items():
        turn = motion.turns[name][0]
        throttle = x.layout.throttle_on(name)
        if throttle is not None:
            opened = min(max(motion.opening(throttle.name)[0], 0), throttle.swing)
            turn = throttle.opens * opened
        for arm in shaft.arms:
            out[f"{name}.{arm}"] = view.project(np.array(shaft.pin(arm, turn))) * 1e3
    return out


@pytest.mark.parametrize("place", [0, 1, 37, 60, 118, LAST])
def test_scrubbing_puts_every_pin_where_the_motion_has_it(still, checks, place):
    scrub(still, place)
    data = json.loads(still.value("document.getElementById('motion').textContent"))
    pad = place / LAST * max(c.examined.working.end for c in checks)
    for k, one in enumerate(checks):
        names = still.value(f"[...document.querySelectorAll('.layout')[{k}].querySelectorAll('[data-view]')].map(v => v.dataset.view)")  # fmt: skip
        view = data["layouts"][k]["views"][names.index("seen from the right")]
        shown = pins(still, k)
        wanted = expected(one, pad)
        assert set(shown) == set(wanted)
        for hole, (x, y) in shown.items():
            right = (x - view["origin"][0]) / view["scale"]
            up = (view["origin"][1] - y) / view["scale"]
            assert (right, up) == pytest.approx(tuple(wanted[hole]), abs=0.05), hole
    assert text_of(still, "#pad") == f"pad {pad * 1e3:.1f} mm"


def test_lines_end_at_their_pins_and_words_follow(still, checks):
    scrub(still, 80)
    for k, one in enumerate(checks):
        shown = pins(still, k)
        lines = still.value(
            f"Object.fromEntries([...document.querySelectorAll('.layout')[{k}].querySelectorAll('[data-view=\"seen from the right\"] line[data-rod]')]"
            ".map(l => [l.dataset.rod, ['x1','y1','x2','y2'].map(a => Number(l.getAttribute(a)))]))"
        )
        for name, rod in one.examined.layout.rods.items():
            if k == 0 and name == "carb":
                continue  # which the stop parts from its lever
            ends = [*shown[str(rod.start)], *shown[str(rod.end)]]
            assert lines[name] == pytest.approx(ends, abs=0.02)
    assert text_of(still, '.layout:nth-child(2) [data-word="carb"]') == "carb: push"
    told = text_of(still, '.layout:nth-child(2) [data-row="carb"] td')
    assert re.fullmatch(r"push \d+\xa0N", told)
    dashes = still.value("[...document.querySelectorAll('.layout:nth-child(2) line[data-rod]')].map(l => [l.dataset.rod, l.dataset.sense, l.getAttribute('stroke-dasharray')])")  # fmt: skip
    assert {name: sense for name, sense, _ in dashes} == {"up": "push", "down": "pull", "carb": "push"}  # fmt: skip
    assert all((dash == "") == (sense == "pull") for _, sense, dash in dashes)


#: Ends of rod `carb` of the first layout, and whether it is marked as parted.
CARB = """(() => { const v = document.querySelector('[data-view="seen from the right"]');
  const r = v.querySelector('[data-rod="carb"]');
  return [['x1', 'y1', 'x2', 'y2'].map(a => Number(r.getAttribute(a))),
    [...v.querySelectorAll('[data-end], [data-gap]')].map(p => getComputedStyle(p).display)]; })()"""


def test_a_rod_parts_from_the_lever_that_its_stop_holds(still):
    rest = pins(still, 0)["spindle.lever"]
    before, marks = still.value(CARB)
    assert before[2:] == pytest.approx(rest, abs=0.02)
    assert set(marks) == {"none"}
    scrub(still, LAST)
    assert pins(still, 0)["spindle.lever"] == rest  # held at its idle stop
    after, marks = still.value(CARB)
    assert np.hypot(*np.subtract(after[2:], rest)) > 5
    assert len(marks) == 2
    assert "none" not in marks
    # The rod is as long as before: it lies in the plane of the view.
    long = [np.hypot(*np.subtract(ends[2:], ends[:2])) for ends in (before, after)]
    assert long[1] == pytest.approx(long[0], rel=1e-3)
    told = text_of(still, '.layout:nth-child(1) [data-row="carb"] td')
    assert told == "pull, parted from spindle.lever, which its stop holds"
    # Its sound twin turns, and nothing there is marked.
    assert pins(still, 1)["spindle.lever"] != rest
    assert still.value("document.querySelectorAll('.layout:nth-child(2) .gap').length") == 0  # fmt: skip
    assert "parted" not in text_of(still, '.layout:nth-child(2) [data-row="carb"] td')


def test_mark_lies_on_the_curve_and_numbers_follow(still, checks):
    scrub(still, 60)
    one = checks[1].examined
    pad = min(max(c.examined.working.end for c in checks) / 2, one.working.end)
    there = sweep(one.assembly, np.array([pad]))
    angle = float(np.degrees(there.opening("throttle")[0]))
    force = float(statics(there).pad_force_pressing[0])
    cells = still.value("Object.fromEntries([...document.querySelectorAll('.layout:nth-child(2) [data-show]')].map(c => [c.dataset.show, c.textContent]))")  # fmt: skip
    assert cells["throttle"].startswith(f"{angle:.1f}°")
    assert cells["force"] == f"{force:.0f} N, going down"
    assert cells["stop"] == "between its stops"
    gap = still.value(
        "(() => { const c = document.querySelectorAll('.layout')[1].querySelector('[data-mark]');"
        "const p = c.ownerSVGElement.querySelector('.own'); const x = Number(c.getAttribute('cx')), y = Number(c.getAttribute('cy'));"
        "let best = 1e9; const n = p.getTotalLength(); for (let s = 0; s <= n; s += 0.25) { const q = p.getPointAtLength(s);"
        "best = Math.min(best, Math.hypot(q.x - x, q.y - y)); } return best; })()"
    )
    assert gap < 0.3
    scrub(still, 30)
    assert text_of(still, '.layout:nth-child(2) [data-show="force"]').endswith(
        "coming up"
    )
    scrub(still, LAST)
    assert text_of(still, '.layout:nth-child(1) [data-show="stop"]') == "stopped by pedal stop"  # fmt: skip
    assert text_of(still, '.layout:nth-child(2) [data-show="stop"]') == "stopped by full stop of throttle"  # fmt: skip


def test_reduced_motion_stands_until_asked(still):
    before = pins(still, 1)
    time.sleep(0.4)
    assert pins(still, 1) == before
    assert text_of(still, "#play") == "Play"
    still.value("document.getElementById('play').click()")
    until(lambda: pins(still, 1) != before)
    assert text_of(still, "#play") == "Pause"
    still.value("document.getElementById('play').click()")
    stopped = pins(still, 1)
    time.sleep(0.3)
    assert pins(still, 1) == stopped


def test_plays_by_itself_goes_down_and_comes_back(browser, address):
    browser.errors.clear()
    browser.requests.clear()
    browser.media(prefers_reduced_motion="no-preference")
    browser.open(address)
    assert text_of(browser, "#play") == "Pause"
    browser.value("(() => { const s = document.getElementById('speed'); s.value = '2'; s.dispatchEvent(new Event('change')); })()")  # fmt: skip
    seen = []
    end = time.monotonic() + 30
    while time.monotonic() < end:
        seen.append(slider(browser))
        force = text_of(browser, '.layout:nth-child(2) [data-show="force"]')
        if LAST in seen and seen[-1] < LAST / 2 and force.endswith("coming up"):
            break
        time.sleep(0.05)
    assert LAST in seen
    deepest = seen.index(LAST)
    assert seen[:deepest] == sorted(seen[:deepest])
    assert seen[-1] < LAST / 2
    assert force.endswith("coming up")
    assert browser.errors == []
    assert browser.requests == [address]


def test_keyboard_alone_will_do(still):
    assert slider(still) == 0
    still.key("End", number=35)
    assert slider(still) == LAST
    still.key("ArrowLeft", number=37)
    still.key("ArrowLeft", number=37)
    still.key("ArrowRight", number=39)
    assert slider(still) == LAST - 1
    still.key("Home", number=36)
    assert slider(still) == 0
    still.key("ArrowLeft", number=37)
    assert slider(still) == 0
    still.key(" ", "Space", 32)
    assert text_of(still, "#play") == "Pause"
    until(lambda: slider(still) > 0)
    still.key(" ", "Space", 32)
    assert text_of(still, "#play") == "Play"
    still.value("document.getElementById('pedal').focus()")
    here = slider(still)
    still.key("ArrowRight", number=39)
    assert slider(still) == here + 1
    still.value("document.getElementById('play').focus()")
    still.key(" ", "Space", 32)
    assert text_of(still, "#play") == "Pause"
    still.value("document.getElementById('play').click()")


def test_screen_reader_hears_once_things_stand(still):
    assert text_of(still, "#say") == ""
    at_once = still.value(f"(() => {{ const s = document.getElementById('pedal'); for (const k of [60, {LAST}]) {{ s.value = k; s.dispatchEvent(new Event('input')); }} return document.getElementById('say').textContent; }})()")  # fmt: skip
    assert at_once == ""  # not at every step
    until(lambda: text_of(still, "#say"))
    assert text_of(still, "#say").startswith("pad 72.5 mm; throttle 0 degrees, 0 per cent, stopped by pedal stop; throttle 76 degrees")  # fmt: skip
    assert still.value("document.getElementById('pedal').getAttribute('aria-valuetext')") == text_of(still, "#say")  # fmt: skip


def test_screen_reader_hears_nothing_while_it_plays(still):
    still.value("document.getElementById('play').click()")
    until(lambda: slider(still) > 10)
    time.sleep(0.7)  # longer than what it waits after things have come to rest
    assert text_of(still, "#say") == ""
    valued = still.value("document.getElementById('pedal').getAttribute('aria-valuetext')")  # fmt: skip
    still.value("document.getElementById('play').click()")
    until(lambda: text_of(still, "#say"))
    assert valued != text_of(still, "#say")  # left as it was


def test_every_control_and_picture_has_a_name(still):
    still.send("Accessibility.enable")
    nodes = still.send("Accessibility.getFullAXTree")["nodes"]
    still.send("Accessibility.disable")
    named = {"slider", "button", "combobox", "image", "img", "region", "form", "table"}
    found = [(n["role"]["value"], n.get("name", {}).get("value", "")) for n in nodes if not n["ignored"]]  # fmt: skip
    picked = [(role, name) for role, name in found if role in named]
    assert {"slider", "button"} <= {role for role, _ in picked}
    # The button's name says what it does next, so it has no state beside (ARIA
    # Authoring Practices, button; from memory).
    assert (
        still.value("document.getElementById('play').getAttribute('aria-pressed')")
        is None
    )
    assert [role for role, name in picked if not name.strip()] == []
    images = [name for role, name in picked if role in {"image", "img"}]
    assert len(images) == 8  # of each layout two views, plate and curve
    assert any(
        "rod carb from bell crank.out to spindle.lever pushes" in n for n in images
    )


@pytest.mark.parametrize("size", [(360, 700), (900, 700), (1500, 900)])
def test_nothing_runs_out_of_the_window(still, size):
    still.send("Emulation.setDeviceMetricsOverride", width=size[0], height=size[1], deviceScaleFactor=1, mobile=False)  # fmt: skip
    wide, tops = still.value("[document.documentElement.scrollWidth - document.documentElement.clientWidth, [...document.querySelectorAll('.views')].map(v => v.getBoundingClientRect().top)]")  # fmt: skip
    still.send("Emulation.clearDeviceMetricsOverride")
    assert wide <= 0
    side_by_side = abs(tops[0] - tops[1]) < 1
    assert side_by_side == (size[0] >= 960)


def brightness(tab, selector, what):
    said = tab.value(f"getComputedStyle(document.querySelector({selector!r})).{what}")
    whole = 255 if said.startswith("color(srgb") else 1  # where colours were mixed
    red, green, blue = (whole * float(part) for part in re.findall(r"[\d.]+", said)[:3])
    # WCAG 2.1, relative luminance (from memory).
    parts = [c / 3294.6 if c <= 10 else ((c / 255 + 0.055) / 1.055) ** 2.4 for c in (red, green, blue)]  # fmt: skip
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_readable_in_light_and_in_the_dark(still, scheme):
    still.media(prefers_reduced_motion="reduce", prefers_color_scheme=scheme)
    paper = brightness(still, "body", "backgroundColor")
    assert (paper < 0.2) == (scheme == "dark")
    for selector, what in (
        ("body", "color"),
        ("line[data-rod]", "stroke"),
        (".numbers th", "color"),
        ("[data-view] text[data-near]:nth-of-type(1)", "fill"),
        ("[data-view] text[data-near]:nth-of-type(2)", "fill"),
        ("[data-view] text[data-near]:nth-of-type(3)", "fill"),
        ("[data-view] text[data-near]:nth-of-type(4)", "fill"),
    ):
        drawn = brightness(still, selector, what)
        contrast = (max(paper, drawn) + 0.05) / (min(paper, drawn) + 0.05)
        assert contrast >= 4.5, selector


def test_each_layout_is_printed_on_one_sheet_with_letters_of_its_own_size(still):
    still.value("addEventListener('beforeprint', () => { window.turns = [...document.querySelectorAll('[data-near]')].map(t => t.getAttribute('transform')); })")  # fmt: skip
    sheet = still.send("Page.printToPDF", paperWidth=8.27, paperHeight=11.69)["data"]
    sheets = re.findall(rb"/Type /Page\b", base64.b64decode(sheet))
    assert len(sheets) == 2
    turns = still.value("window.turns")
    assert turns
    assert all("scale(1.0000)" in turn for turn in turns)


def test_prints_dark_on_white_without_controls(still):
    still.send("Emulation.setEmulatedMedia", media="print", features=[{"name": "prefers-color-scheme", "value": "dark"}])  # fmt: skip
    shown = still.value("[getComputedStyle(document.getElementById('play')).display, getComputedStyle(document.body).backgroundColor, getComputedStyle(document.querySelector('[data-rod]')).stroke]")  # fmt: skip
    still.send("Emulation.setEmulatedMedia", media="", features=[])
    assert shown == ["none", "rgb(255, 255, 255)", "rgb(0, 0, 0)"]
