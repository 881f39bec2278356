"""The bytes of a GIF, an MP4 and a page."""

import html
import io
import json
import re
import sys
import tempfile
from dataclasses import replace
from functools import cache
from pathlib import Path

import imageio_ffmpeg
import numpy as np
import pytest
from PIL import Image

from linkage.animation import mp4 as mp4_module
from linkage.animation.gif import COLOURS, Palette, gif, pack
from linkage.animation.markup import dash_of, ink
from linkage.animation.mp4 import mp4
from linkage.animation.page import page
from linkage.animation.picture import frames
from linkage.animation.scene import deepest, scenes
from linkage.animation.schedule import schedule
from linkage.config import load
from linkage.errors import OutputError, UsageError
from linkage.search import check
from tests.build import hauler, pedalled
from tests.figures.odd_views import three_ways
from tests.odd import ODD
from tests.thinned import kinds

CONFIGS = Path(__file__).parents[2] / "configs"
SMALL = (640, 360)


@cache
def checked(name):
    return check(load(CONFIGS / f"{name}.toml").layout, cures=False)


def shown(*names, count=12):
    checks = [checked(n) for n in names]
    timing = schedule(deepest(checks), count)
    return scenes(checks, timing.pad_travel), timing


@pytest.fixture(scope="module")
def one():
    return shown("swapped-push-rod")


def decoded(data):
    """Every frame of a GIF as an independent reader sees it."""
    out = []
    with Image.open(io.BytesIO(data)) as image:
        for k in range(image.n_frames):
            image.seek(k)
            out.append((np.array(image.convert("RGB")), image.info["duration"]))
    return out


def test_gif_holds_every_frame_as_it_was_drawn(one):
    data = gif(*one, size=SMALL, fps=20)
    read = decoded(data)
    drawn = list(frames(*one, SMALL))
    assert len(read) == len(drawn) == 12
    assert {wait for _, wait in read} == {50}
    for (got, _), wanted in zip(read, drawn, strict=True):
        assert got.shape == (360, 640, 3)
        off = np.abs(got.astype(int) - wanted)
        assert off.mean() < 1.0
        assert (off.max(axis=2) > 60).mean() < 0.002
    with Image.open(io.BytesIO(data)) as image:
        assert image.info["loop"] == 0


def test_gif_frames_differ_and_the_parts_end_where_they_started(one):
    read = [got for got, _ in decoded(gif(*one, size=SMALL))]
    views = [got[:, :400] for got in read]  # the drawing, without the words beside
    words = np.abs(views[0].astype(int) - views[-1]).max(axis=2) > 60
    assert words.mean() < 0.004
    assert (np.abs(views[0].astype(int) - views[6]).max(axis=2) > 60).mean() > 0.01


def test_frames_that_do_not_differ_are_kept_for_their_time():
    still = np.full((20, 30, 3), 255, np.uint8)
    still[5:9, 4:20] = (10, 200, 30)
    data = pack([still, still, still], Palette([still]), 10)
    read = decoded(data)
    assert len(read) == 3
    assert all(np.array_equal(got, still) for got, _ in read)
    assert [wait for _, wait in read] == [100, 100, 100]


def test_palette_keeps_a_rare_colour_that_nothing_comes_near():
    rng = np.random.default_rng(1)
    sample = np.full((100, 100, 3), 255, np.uint8)
    sample[:80] = rng.integers(200, 256, (80, 100, 1))  # many greys
    sample[90, 5:9] = (230, 159, 0)
    palette = Palette([sample])
    assert palette.colours.shape[0] <= COLOURS
    index = palette.indices(sample)[90, 6]
    assert np.abs(palette.colours[index].astype(int) - (230, 159, 0)).max() < 8


def test_mp4_is_one_and_has_size_frames_and_speed(one, tmp_path):
    data = mp4(*one, size=SMALL, fps=20)
    assert data[4:8] == b"ftyp"  # ISO/IEC 14496-12, 4.3 (from memory)
    path = tmp_path / "out.mp4"
    path.write_bytes(data)
    count, seconds = imageio_ffmpeg.count_frames_and_secs(str(path))
    assert count == 12
    assert seconds == pytest.approx(0.6, abs=0.06)
    reader = imageio_ffmpeg.read_frames(str(path))
    try:
        assert next(reader)["source_size"] == SMALL
        first = np.frombuffer(next(reader), np.uint8).reshape(360, 640, 3)
    finally:
        reader.close()
    wanted = next(iter(frames(*one, SMALL)))
    assert np.abs(first.astype(int) - wanted).mean() < 4


def test_mp4_refuses_odd_sizes(one):
    with pytest.raises(UsageError, match="both must be even") as fault:
        mp4(*one, size=(641, 361))
    assert fault.value.hint == "give 640x360"


def test_missing_encoder_is_said(one, monkeypatch):
    def nowhere():
        msg = "no ffmpeg exe could be found"
        raise RuntimeError(msg)

    monkeypatch.setattr(imageio_ffmpeg, "get_ffmpeg_exe", nowhere)
    with pytest.raises(OutputError, match="no MP4 encoder was found") as fault:
        mp4(*one, size=SMALL)
    assert ".gif" in fault.value.hint


def test_missing_package_is_said(one, monkeypatch):
    monkeypatch.setitem(sys.modules, "imageio_ffmpeg", None)
    with pytest.raises(OutputError, match="not installed"):
        mp4(*one, size=SMALL)


@pytest.mark.parametrize("fault", [OSError("broken pipe\n\nbad codec"), OSError()])
def test_failing_encoder_is_said_and_leaves_nothing(one, monkeypatch, tmp_path, fault):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))

    def broken(*_args, **_names):
        raise fault
        yield  # a generator, as the real one

    monkeypatch.setattr(imageio_ffmpeg, "write_frames", broken)
    with pytest.raises(OutputError, match="encoder failed") as said:
        mp4(*one, size=SMALL)
    assert (str(fault).splitlines() or ["OSError"])[-1] in said.value.hint
    assert list(tmp_path.iterdir()) == []


def test_encoder_that_writes_nothing_is_said(one, monkeypatch, tmp_path):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))

    def silent(*_args, **_names):
        while True:
            yield

    monkeypatch.setattr(imageio_ffmpeg, "write_frames", silent)
    with pytest.raises(OutputError, match="wrote nothing"):
        mp4(*one, size=SMALL)
    assert list(tmp_path.iterdir()) == []


def test_ctrl_c_in_the_middle_leaves_nothing(one, monkeypatch, tmp_path):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    begun = []

    def stopped(*args, **names):
        for k, frame in enumerate(frames(*args, **names)):
            if k == 3:
                begun.extend(tmp_path.rglob("*"))
                raise KeyboardInterrupt
            yield frame

    monkeypatch.setattr(mp4_module, "frames", stopped)
    with pytest.raises(KeyboardInterrupt):
        mp4(*one, size=SMALL)
    assert begun
    assert list(tmp_path.iterdir()) == []


def data_of(text):
    found = re.search(
        r'<script type="application/json" id="motion">(.*?)</script>', text, re.DOTALL
    )
    return json.loads(found[1])


@pytest.mark.parametrize("name", kinds((p.stem for p in pedalled(CONFIGS)), 1))
def test_page_is_small_and_needs_nothing_else(name):
    text = page([checked(name), checked("swapped-push-rod")])
    assert len(text.encode()) < 400_000
    assert not re.search(
        r"https?://|//[a-z]+\.|@import|url\(|<img|<link(?! rel=\"icon\" href=\"data:)|src=",
        text,
    )
    assert "default-src 'none'" in text
    data = data_of(text)
    assert len(data["layouts"]) == 2
    assert '<main class="two">' in text
    ends = [layout["end"] for layout in data["layouts"]]
    assert data["end"] == max(ends)
    assert "$" not in re.sub(r"\$\{|`\$", "", text.split("<script>")[0])


def test_page_of_several_views_names_each():
    text = page([check(three_ways(), cures=False)])
    for name in ("seen from the right", "seen from behind", "seen from above"):
        assert f'data-view="{name}"' in text
    assert '<main class="one">' in text


def test_page_gives_banner_with_every_reason_and_words_for_those_who_do_not_see():
    late = checked("fault-lever-clocked-late")
    text = html.unescape(page([late]))
    assert text.count("DO NOT FIT") == 1
    for reason in late.reasons:
        assert reason.short.replace("`", "") in text
    assert "Pedal going down: pedal turns anticlockwise seen from the right;" in text
    assert "rod link from pedal.rod to spindle.lever pulls;" in text
    assert 'aria-live="polite"' in text
    fits = page([checked("hanging-pedal")])
    assert "DO NOT FIT" not in fits
    assert ">FITS" in fits


def test_a_held_shaft_is_not_said_to_turn():
    text = page([checked("fault-wrong-sense")])
    assert "spindle is held by its stop and pushed anticlockwise seen from" in text
    assert "bell crank turns " in text
    assert "spindle turns clockwise seen from" in page([checked("swapped-push-rod")])


def test_shafts_without_room_for_their_names_are_listed_over_the_view():
    text = page([check(ODD["crowd"](), cures=False)])
    listed = re.search(r"No room to name: (.*?)\.</figcaption>", text)[1]
    drawn = re.findall(r"<tspan[^>]*>([^<]*)</tspan>", text)
    names = {"pedal", "spindle", *(f"relay {k}" for k in range(1, 25))}
    assert listed
    assert sorted([*listed.split(", "), *drawn]) == sorted(names)
    assert "No room" not in page([checked("hanging-pedal")])


def test_names_from_a_layout_cannot_break_the_page():
    nasty = '</script><b onload="x">&'
    layout = hauler()
    rods = {
        nasty if n == "last" else n: replace(r, name=nasty if n == "last" else n)
        for n, r in layout.rods.items()
    }
    text = page([check(replace(layout, title=nasty, rods=rods), cures=False)])
    assert nasty not in text
    assert html.escape(nasty) in text
    assert data_of(text)["layouts"][0]["rods"][1]["name"] == nasty


def test_inks_and_dashes():
    assert ink("", "fill") == 'fill="none"'
    assert ink("#ffffff", "fill") == 'fill="var(--paper)"'
    assert ink("#4d4d4d", "stroke") == 'stroke="var(--soft)"'
    assert len({dash_of(sense) for sense in (-1, 0, 1)}) == 3
