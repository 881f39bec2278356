"""`animate`: files, refusals, Ctrl-C."""

import os
import signal
import sys

import pytest
from PIL import Image

from linkage.animation import gif as gif_module
from linkage.animation import mp4 as mp4_module
from linkage.animation.picture import frames
from linkage.cli.animate import stopped_between_frames
from linkage.errors import OutputError
from linkage.outside import files
from tests.cli.conftest import CONFIGS

SHORT = ("--frames", "6", "--size", "640x360")


def test_gif_of_two_layouts(run, configs, tmp_path):
    path = tmp_path / "both.gif"
    ran = run(
        "animate",
        configs / "fault-wrong-sense.toml",
        "--beside",
        configs / "swapped-push-rod.toml",
        "-o",
        path,
        *SHORT,
    )
    assert ran.code == 0
    assert ran.out == ""
    assert ran.err == f"wrote {path}\n"  # a pipe: no progress
    with Image.open(path) as image:
        assert (image.n_frames, image.size, image.format) == (6, (640, 360), "GIF")


def test_mp4_and_html(run, configs, tmp_path):
    car = configs / "hanging-pedal.toml"
    film, page = tmp_path / "car.mp4", tmp_path / "car.html"
    assert run("animate", car, "-o", film, "--quiet", *SHORT).err == ""
    assert film.read_bytes()[4:8] == b"ftyp"
    assert run("animate", car, "-o", page).code == 0
    text = page.read_text(encoding="utf-8")
    assert text.startswith("<!DOCTYPE html>")
    assert "Yard truck, one rod from a hanging pedal" in text


def test_progress_on_a_terminal_and_quiet(run, configs, tmp_path, monkeypatch):
    car = configs / "hanging-pedal.toml"
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    ran = run("animate", car, "-o", tmp_path / "a.gif", *SHORT)
    assert "drawing 3 of 6" in ran.err
    assert run("animate", car, "-o", tmp_path / "b.gif", "--quiet", *SHORT).err == ""


def test_force_replaces(run, configs, tmp_path):
    path = tmp_path / "car.html"
    path.write_text("old")
    assert run("animate", configs / "hanging-pedal.toml", "-o", path).code == 2
    assert path.read_text() == "old"
    assert (
        run("animate", configs / "hanging-pedal.toml", "-o", path, "--force").code == 0
    )
    assert path.read_text() != "old"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "cannot be printed"),
        (("-o", "-"), "cannot be printed"),
        (("-o", "/dev/stdout"), "cannot be printed"),
        (("-o", "{folder}/car.avi"), "`.avi` is no kind of file"),
        (("-o", "{folder}/car"), "a name without an ending"),
        (("-o", "{folder}"), "no kind of file"),
        (("-o", "{folder}/none/car.gif"), "there is no folder"),
        (("-o", "{folder}/car.gif", "--size", "960"), "`960` is no size"),
        (("-o", "{folder}/car.gif", "--size", "9x5"), "9 x 5 pixels cannot be drawn"),
        (("-o", "{folder}/car.gif", "--size", "-960x540"), "is no size"),
        (("-o", "{folder}/car.gif", "--size", "99999999x540"), "is no size"),
        (("-o", "{folder}/car.gif", "--size", "960x960"), "not the shape of a screen"),
        (("-o", "{folder}/car.mp4", "--size", "961x541"), "both must be even"),
        (("-o", "{folder}/car.gif", "--frames", "3"), "3 frames make no animation"),
        (("-o", "{folder}/car.gif", "--frames", "100000"), "frames make no animation"),
        (("-o", "{folder}/car.gif", "--fps", "0"), "0 frames a second"),
        (("-o", "{folder}/car.gif", "--fps", "nan"), "nan frames a second"),
        (("-o", "{folder}/car.mp4", "--fps", "500"), "500 frames a second"),
    ],
)  # fmt: skip
def test_refusals_before_any_work(run, configs, tmp_path, monkeypatch, words, said):
    monkeypatch.setattr(
        "linkage.cli.common.load", lambda _path: pytest.fail("work was begun")
    )
    ran = run(
        "animate",
        configs / "hanging-pedal.toml",
        *(w.format(folder=tmp_path) for w in words),
    )
    assert ran.code == 2
    assert said in ran.err
    assert "hint: " in ran.err
    assert list(tmp_path.iterdir()) == []


def test_a_pipe_is_no_place(run, configs, tmp_path):
    path = tmp_path / "pipe.gif"
    os.mkfifo(path)
    ran = run("animate", configs / "hanging-pedal.toml", "-o", path, "--force")
    assert ran.code == 2
    assert "a pipe or a socket, not a file" in ran.err


def test_a_name_that_is_too_long_is_told(run, configs, tmp_path):
    path = tmp_path / f"{'a' * 300}.gif"
    ran = run("animate", configs / "hanging-pedal.toml", "-o", path)
    assert ran.code == 2
    assert "is too long" in ran.err


def test_no_encoder(run, configs, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "imageio_ffmpeg", None)
    ran = run("animate", configs / "hanging-pedal.toml", "-o", tmp_path / "a.mp4")
    assert ran.code == 2
    assert "install `throttle-linkage[mp4]`, or write a .gif or .html" in ran.err
    assert list(tmp_path.iterdir()) == []


def test_wrong_layouts(run, configs, tmp_path):
    bad = tmp_path / "bad.toml"
    bad.write_text("format = 1\n")
    out = tmp_path / "a.html"
    assert run("animate", bad, "-o", out).code == 3
    assert (
        run("animate", configs / "hanging-pedal.toml", "--beside", bad, "-o", out).code
        == 3
    )
    assert (
        run(
            "animate",
            configs / "hanging-pedal.toml",
            "--beside",
            tmp_path / "no.toml",
            "-o",
            out,
        ).code
        == 3
    )
    assert not out.exists()


@pytest.mark.parametrize("kind", ["gif", "mp4", "html"])
def test_ctrl_c_leaves_the_old_file_and_no_other(
    run, configs, tmp_path, monkeypatch, kind
):
    path = tmp_path / f"car.{kind}"
    path.write_text("old")

    def stopped(_handle):
        raise KeyboardInterrupt

    monkeypatch.setattr(files.os, "fsync", stopped)
    ran = run("animate", configs / "hanging-pedal.toml", "-o", path, "--force", *SHORT)
    assert ran.code == 130
    assert path.read_text() == "old"
    assert list(tmp_path.iterdir()) == [path]


def test_ctrl_c_while_drawing(run, configs, tmp_path, monkeypatch):
    drawn = []

    def stopped(*args, **names):
        for frame in frames(*args, **names):
            drawn.append(frame)
            if len(drawn) > 5:
                raise KeyboardInterrupt
            yield frame

    monkeypatch.setattr(gif_module, "frames", stopped)
    ran = run(
        "animate", configs / "hanging-pedal.toml", "-o", tmp_path / "a.gif", *SHORT
    )
    assert ran.code == 130
    assert "nothing half-written" in ran.err
    assert list(tmp_path.iterdir()) == []
    assert len(drawn) == 6


@pytest.mark.parametrize("kind", ["gif", "mp4"])
def test_a_real_ctrl_c_takes_effect_between_frames(
    run, configs, tmp_path, monkeypatch, kind
):
    before = signal.getsignal(signal.SIGINT)
    module = gif_module if kind == "gif" else mp4_module
    drawn = []

    def pressed(*args, **names):
        for frame in frames(*args, **names):
            drawn.append(frame)
            if len(drawn) == 5:
                signal.raise_signal(signal.SIGINT)
            yield frame

    monkeypatch.setattr(module, "frames", pressed)
    path = tmp_path / f"a.{kind}"
    ran = run(
        "animate",
        configs / "hanging-pedal.toml",
        "-o",
        path,
        "--frames",
        "40",
        "--size",
        "640x360",
    )
    assert ran.code == 130
    assert 5 <= len(drawn) < 10
    assert list(tmp_path.iterdir()) == []
    assert signal.getsignal(signal.SIGINT) is before


@pytest.fixture
def ctrl_c():
    """Ctrl-C interrupts, also where the tests were started in the background."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def interrupted(times, fault=None):
    """What a drawing does that is stopped so often and then fails or ends."""
    with stopped_between_frames(None):
        for _ in range(times):
            signal.raise_signal(signal.SIGINT)
        if times > 1:
            pytest.fail("the second Ctrl-C waited")
        if fault is not None:
            raise fault


@pytest.mark.usefixtures("ctrl_c")
def test_an_encoder_that_ctrl_c_ends_first_is_no_failure():
    broken = OutputError("the MP4 encoder failed")
    with pytest.raises(OutputError):
        interrupted(0, broken)
    with pytest.raises(KeyboardInterrupt):
        interrupted(1, broken)
    with pytest.raises(KeyboardInterrupt):
        interrupted(1)  # after the last frame
    with pytest.raises(KeyboardInterrupt):
        interrupted(2)


def test_words_speak_in_the_units_of_the_first_file(run, configs, tmp_path):
    text = (configs / "hanging-pedal.toml").read_text()
    inch = tmp_path / "inch.toml"
    millimetres = 'length = "mm", angle = "deg", force = "N"'
    assert millimetres in text
    # The same numbers in inches: 25.4 times as large, but it still goes together.
    inch.write_text(
        text.replace(millimetres, 'length = "in", angle = "deg", force = "lbf"')
    )
    page = tmp_path / "inch.html"
    assert (
        run(
            "animate", inch, "--beside", configs / "hanging-pedal.toml", "-o", page
        ).code
        == 0
    )
    written = page.read_text(encoding="utf-8")
    assert '"length":["in",25.4,2],"force":["lbf",4.448221615,1]' in written
    assert "pad travel [in]" in written
    assert "pad travel [mm]" not in written
    other = tmp_path / "mm.html"
    assert (
        run(
            "animate", configs / "hanging-pedal.toml", "--beside", inch, "-o", other
        ).code
        == 0
    )
    assert '"length":["mm",1.0,1],"force":["N",1.0,0]' in other.read_text(
        encoding="utf-8"
    )
    assert run("animate", inch, "-o", tmp_path / "inch.gif", *SHORT).code == 0


def test_a_film_may_show_the_hand_lever_at_work(run, tmp_path):
    both, out = CONFIGS / "hand-and-foot.toml", tmp_path / "hand.gif"
    ran = run("animate", both, "-o", out, "--by", "hand", "--frames", "6")
    assert ran.code == 0
    with Image.open(out) as film:
        assert film.n_frames >= 4
    shown = tmp_path / "hand.html"
    assert run("animate", both, "-o", shown, "--by", "hand").code == 0
    assert ">Hand lever" in shown.read_text(encoding="utf-8")
    foot = tmp_path / "foot.gif"
    assert run("animate", both, "-o", foot, "--frames", "6").code == 0
    assert out.read_bytes() != foot.read_bytes()


def test_what_cannot_be_shown_by_hand_is_refused(run, tmp_path):
    both = CONFIGS / "hand-and-foot.toml"
    for words, says in (
        ((both, "-o", tmp_path / "h.gif", "--by", "foot"), "`foot` is no input"),
        (
            (CONFIGS / "hanging-pedal.toml", "-o", tmp_path / "h.gif", "--by", "hand"),
            "no hand lever",
        ),
    ):
        ran = run("animate", *words)
        assert ran.code != 0
        assert says in ran.err
    assert list(tmp_path.iterdir()) == []
