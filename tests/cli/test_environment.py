"""Odd environments: settings of others, no home, odd names; none ends a run."""

from __future__ import annotations

import os
import subprocess
import sys
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest
from matplotlib import font_manager

from linkage.outside import apart
from tests.cli.conftest import CONFIGS

BINARY = bytes(range(128, 256)) * 3
ODD = os.fsdecode(b"car\xff\xe9.toml")


@pytest.fixture
def here(tmp_path, monkeypatch):
    """Stand in a folder with a layout, of which the name is no text either."""
    monkeypatch.chdir(tmp_path)
    for name in ("car.toml", ODD):
        Path(name).write_bytes((CONFIGS / "hanging-pedal.toml").read_bytes())
    return tmp_path


def spawned(words: list[str], **environment: str) -> subprocess.CompletedProcess[bytes]:
    env = {**os.environ, "PYTHONPATH": str(CONFIGS.parent), **environment}
    for name in [n for n, value in environment.items() if value == "(unset)"]:
        del env[name]
    return subprocess.run(
        [sys.executable, "-m", "linkage", *words],
        env=env, capture_output=True, check=False,
    )  # fmt: skip


def pictures(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in folder.iterdir() if p.suffix in {".svg", ".pdf"}}  # fmt: skip


def test_settings_of_others_change_nothing(here):
    """Neither what lies in the present folder nor what the environment names."""
    draw = [["check", "car.toml", "--picture", "o.svg"], ["curve", "car.toml", "-o", "c.pdf"]]  # fmt: skip
    for words in draw:
        assert spawned(words).returncode == 0
    plain = pictures(here)
    assert len(plain) == 2
    Path("matplotlibrc").write_bytes(BINARY)
    theirs = here / "theirs"
    theirs.mkdir()
    (theirs / "matplotlibrc").write_text("lines.linewidth: 9\nfont.size: nonsense\n")
    _plant_fonts(theirs)
    environment = {
        "MPLBACKEND": "nonsense",
        "MPLCONFIGDIR": str(theirs),
        "MATPLOTLIBRC": str(theirs),
        "SOURCE_DATE_EPOCH": "nonsense",
    }
    for words in draw:
        done = spawned([*words, "--force"], **environment)
        assert (done.returncode, done.stderr) == (0, b"wrote %s\n" % words[-1].encode())
    assert pictures(here) == plain
    assert {p.name.partition("-")[0] for p in theirs.iterdir()} == {
        "fontlist",
        "matplotlibrc",
    }


def _plant_fonts(folder: Path) -> None:
    """Leave a cache of fonts, by every version's name, in which all is one slanted."""
    manager = font_manager.FontManager
    slanted = next(e for e in font_manager.fontManager.ttflist if e.style == "oblique")
    planted = manager.__new__(manager)
    planted.__dict__.update(font_manager.fontManager.__dict__)
    planted.ttflist = [
        replace(entry, fname=slanted.fname)
        for entry in font_manager.fontManager.ttflist
    ]
    font_manager.json_dump(planted, folder / f"fontlist-v{manager.__version__}.json")


@pytest.mark.parametrize("place", ["", "/dev/null", "(unset)"])
def test_no_home_and_no_folder_to_keep_anything(here, place):
    names = ["HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "MPLCONFIGDIR"]
    words = ["check", "car.toml", "--picture", "o.png"]
    done = spawned(words, **dict.fromkeys(names, place), TMPDIR="/dev/null")
    assert (done.returncode, done.stderr) == (0, b"wrote o.png\n")
    assert sorted(p.name for p in here.iterdir()) == ["car.toml", ODD, "o.png"]


@pytest.mark.parametrize("encoding", ["ascii:strict", "cp437", "latin-1"])
def test_old_code_pages_and_a_name_that_is_no_text(here, encoding):
    done = spawned(["check", ODD, "--picture", f"{ODD}.png"], PYTHONIOENCODING=encoding)
    assert (done.returncode, done.stderr) == (
        0,
        rb"wrote car\udcff\udce9.toml.png" + b"\n",
    )
    assert b"FITS" in done.stdout
    assert (here / f"{ODD}.png").is_file()
    done = spawned(["check", f"none-{ODD}"], PYTHONIOENCODING=encoding)
    assert done.returncode == 3
    assert rb"there is no layout file `none-car\udcff\udce9.toml`" in done.stderr


@pytest.mark.parametrize("suffix", ["svg", "png", "csv", "json"])
@pytest.mark.usefixtures("here")
def test_a_name_that_is_no_text_in_curves(run, suffix):
    out = f"{ODD}.{suffix}"
    ran = run("curve", ODD, "--over", ODD, "-o", out)
    assert ran.code == 0
    if suffix == "svg":
        ET.parse(out)  # noqa: S314 - our own file


@pytest.mark.parametrize(
    "words",
    [
        ["check", ODD, "--json"],
        ["compare", ODD, ODD, "--out-dir", ODD + "d"],
        ["swap", "car.toml", "--out-dir", ODD + "d", "--json"],
        ["animate", ODD, "-o", ODD + ".html"],
        ["measure", "hanging-pedal", ODD + ".pdf"],
        [
            "rim",
            CONFIGS / "cable-drum.toml",
            "spindle.drum",
            "--template",
            ODD + ".pdf",
        ],
        ["new", "hanging-pedal", "-o", ODD + ".toml"],
    ],
    ids=lambda words: words[0],
)
@pytest.mark.usefixtures("here")
def test_a_name_that_is_no_text_anywhere(run, words):
    ran = run(*words)
    assert ran.code in {0, 1}
    assert "Traceback" not in ran.err


@pytest.mark.parametrize("words", [["check", "car.toml", "--why"], ["check", "car.toml", "--at"], ["arm", "car.toml"], ["springs", "car.toml", "--choose"], ["new"], ["measure", "x.pdf"], []])  # fmt: skip
@pytest.mark.usefixtures("here")
def test_words_that_are_no_text_are_refused(run, words):
    ran = run(*words, ODD)
    assert ran.code == 2
    assert "Traceback" not in ran.err


def test_completion_that_cannot_be_installed_is_told(run, monkeypatch):
    monkeypatch.setenv("HOME", "/dev/null")
    ran = run("--install-completion", "bash")
    assert ran.code == 2
    assert "Traceback" not in ran.err


def test_completion_without_a_home_is_told(run, monkeypatch):
    def none(_kind):
        msg = "Could not determine home directory."
        raise RuntimeError(msg)

    monkeypatch.setattr(Path, "home", classmethod(none))
    ran = run("--install-completion", "bash")
    assert ran.code == 2
    assert "Traceback" not in ran.err


@pytest.mark.parametrize(("ended", "code"), [(1, 2), (0, 0), (2, 2)])
def test_a_shell_that_has_no_completion_is_no_verdict(run, monkeypatch, ended, code):
    """Typer ends with 1 where it knows no shell, which says `do not fit`."""
    monkeypatch.setattr("linkage.cli.app", lambda: sys.exit(ended))
    assert run("--show-completion").code == code


def test_matplotlib_is_loaded_apart_where_that_is_wanted_and_once(monkeypatch):
    loaded = []
    monkeypatch.setattr(apart, "_wanted", [])
    monkeypatch.setattr(apart, "_load", lambda: loaded.append("apart"))
    apart.load()
    apart.keep_apart()
    apart.load()  # it is loaded already
    assert loaded == []
    monkeypatch.delitem(sys.modules, "matplotlib")
    apart.load()
    assert loaded == ["apart"]


def test_a_program_that_imports_linkage_has_its_own_matplotlib():
    """Only the command line keeps it apart."""
    assert not apart._wanted
    code = (
        "import os; os.environ['MPLBACKEND'] = 'svg'\n"
        "import linkage.drawing, matplotlib\n"
        "assert matplotlib.rcParams['backend'] == 'svg'\n"
        "assert os.environ['MPLBACKEND'] == 'svg'\n"
        "assert matplotlib.get_cachedir.__module__ != 'linkage.outside.apart'"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=CONFIGS.parent)


def test_a_folder_is_stood_in_for_a_moment_and_no_handle_is_left(tmp_path, monkeypatch):
    monkeypatch.chdir(CONFIGS)
    handles = set(os.listdir("/dev/fd"))  # noqa: PTH208 - numbers, not paths
    with apart._standing_in(tmp_path):
        assert Path.cwd() == tmp_path
    assert Path.cwd() == CONFIGS
    assert set(os.listdir("/dev/fd")) == handles  # noqa: PTH208


def test_where_no_folder_can_be_opened_the_present_one_is_found_again(
    tmp_path, monkeypatch
):
    """As on Windows."""
    monkeypatch.chdir(CONFIGS)

    def refused(*_args):
        raise PermissionError

    monkeypatch.setattr(apart.os, "open", refused)
    with apart._standing_in(tmp_path):
        assert Path.cwd() == tmp_path
    assert Path.cwd() == CONFIGS


def test_only_our_fonts_are_found(monkeypatch):
    monkeypatch.setattr(font_manager, "findSystemFonts", font_manager.findSystemFonts)
    assert apart._no_cache() == os.devnull
    assert font_manager.findSystemFonts is apart._own_fonts
    ours = apart._own_fonts([str(Path(font_manager.__file__).parent / "mpl-data/fonts/ttf")])  # fmt: skip
    assert "DejaVuSans.ttf" in {Path(p).name for p in ours}
    assert {Path(p).name[:10] for p in ours} == {"DejaVuSans"}
    assert apart._own_fonts() == apart._own_fonts(ours, "afm") == []
