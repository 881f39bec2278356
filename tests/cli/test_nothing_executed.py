"""Nothing that is read when the program runs is executed, and what was planted is not read.

Every command runs in a process that writes down all code that is executed, all that
is unpickled or unmarshalled, every library, process and file, by what the interpreter
itself tells (PEP 578).
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from typer.main import get_command

from linkage.cli import app
from tests.cli.conftest import CONFIGS

#: Runs commands, and prints what was done meanwhile.
WATCH = '''
import json, os, sys, sysconfig

paths = sysconfig.get_paths()
HOMES = {os.path.realpath(paths[k]) for k in ("stdlib", "platstdlib", "purelib", "platlib")}
HOMES.add(os.path.realpath(sys.argv[1]))
found = {"opened": [], "code": [], "source": [], "unpacked": [], "libraries": [], "run": []}

def at_home(path):
    real = os.path.realpath(path)
    return any(real.startswith(home + os.sep) for home in HOMES)

def caller():
    """Return the file of the function that did it."""
    return sys._getframe(2).f_code.co_filename

def known(name):
    return name.startswith("<frozen ") or at_home(name)

last = [""]

def hook(event, args):
    if event == "open" and isinstance(args[0], (str, bytes)):
        path = os.fsdecode(args[0])
        last[0] = path
        if not at_home(path):
            found["opened"].append(path)
    elif event == "exec":
        name = args[0].co_filename
        # Made in memory, by code that is at home, as the standard library makes classes.
        if not known(name) and not (name.startswith("<") and known(caller())):
            found["code"].append([name, caller()])
    elif event == "compile":
        name = os.fsdecode(args[1] or "<none>")
        if not known(name) and not (name.startswith("<") and known(caller())):
            found["source"].append([name, caller()])
    elif event.startswith("marshal.load"):
        if not (caller().startswith("<frozen importlib") and at_home(last[0])):
            found["unpacked"].append([event, caller(), last[0]])
    elif event == "pickle.find_class":
        found["unpacked"].append([event, *map(str, args)])
    elif event == "import" and args[1] and not at_home(args[1]):
        found["libraries"].append(args[1])
    elif event == "ctypes.dlopen" and args[0] and not at_home(str(args[0])):
        found["libraries"].append(str(args[0]))
    elif event in ("subprocess.Popen", "os.system", "os.exec", "os.posix_spawn"):
        if not at_home(str(args[0])):
            found["run"].append(str(args[0]))

sys.addaudithook(hook)
from linkage.__main__ import main
ends = []
for words in json.loads(sys.argv[2]):
    sys.argv = ["throttle-linkage", *words]
    try:
        main()
    except SystemExit as stop:
        ends.append(stop.code)
tops = {name.partition(".")[0] for name in sys.modules}
print(json.dumps({**found, "ends": ends, "tops": sorted(tops)}), file=sys.stderr)
'''  # fmt: skip

LAYOUTS = ["hanging-pedal.toml", "cable-drum.toml", "scenario-before.toml", "scenario-wrongly-swapped.toml"]  # fmt: skip
COMMANDS = [
    ["new", "hanging-pedal", "-o", "new.toml"],
    ["new", "--schema"],
    ["measure", "hanging-pedal", "sheet.pdf"],
    ["check", "hanging-pedal.toml"],
    ["check", "scenario-wrongly-swapped.toml", "--json"],
    ["check", "hanging-pedal.toml", "--picture", "check.png", "--all", "--echo"],
    ["curve", "hanging-pedal.toml", "-o", "curve.svg"],
    ["band", "hanging-pedal.toml", "--samples", "10", "-o", "sure.svg"],
    ["rock", "hanging-pedal.toml", "-o", "rock.svg"],
    ["prove", "hanging-pedal.toml", "--blank", "read.toml"],
    ["prove", "hanging-pedal.toml", "agrees.toml", "-o", "proof.svg"],
    ["curve", "hanging-pedal.toml", "-o", "curve.csv"],
    ["arm", "hanging-pedal.toml", "spindle.lever", "-o", "arm.toml", "--picture", "arm.svg"],
    ["rim", "cable-drum.toml", "spindle.drum", "-o", "rim.toml", "--template", "rim.pdf"],
    ["springs", "hanging-pedal.toml", "-o", "springs.pdf"],
    ["springs", "hanging-pedal.toml", "--choose", "near"],
    ["swap", "scenario-before.toml", "--out-dir", "cures"],
    ["compare", "scenario-before.toml", "scenario-wrongly-swapped.toml", "--out-dir", "both"],
    ["animate", "hanging-pedal.toml", "-o", "film.html"],
    ["animate", "hanging-pedal.toml", "-o", "film.gif", "--frames", "6", "--size", "640x360"],
    ["animate", "hanging-pedal.toml", "-o", "film.mp4", "--frames", "6", "--size", "640x360"],
]  # fmt: skip
#: Of the system: what any process reads.
SYSTEM = ("/proc/", "/sys/", "/dev/", "/etc/", "/usr/share/zoneinfo", "/usr/lib/locale")


def watched(folder: Path, **environment: str) -> dict[str, list]:
    """Run all commands in a folder and return what was done."""
    folder.mkdir(exist_ok=True)
    for name in LAYOUTS:
        (folder / name).write_bytes((CONFIGS / name).read_bytes())
    agrees = CONFIGS.parent / "tests" / "read" / "agrees.toml"
    (folder / agrees.name).write_bytes(agrees.read_bytes())
    # As the installed command is: its own folder first, not the present one.
    program = folder.parent / f"bin-{folder.name}" / "throttle-linkage"
    program.parent.mkdir()
    program.write_text(WATCH)
    done = subprocess.run(
        [sys.executable, program, CONFIGS.parent / "linkage", json.dumps(COMMANDS)],
        env={**os.environ, "COLUMNS": "80", "PYTHONPATH": str(CONFIGS.parent), **environment},
        cwd=folder, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stderr.splitlines()[-1])
    told["printed"] = done.stdout
    told["written"] = {
        str(p.relative_to(folder)): p.read_bytes()
        for p in folder.rglob("*")
        if p.is_file() and p.relative_to(folder).parts[0] != "planted"
    }
    return told


@pytest.fixture(scope="module")
def plain(tmp_path_factory):
    return watched(tmp_path_factory.mktemp("plain") / "car")


def test_every_command_ran(plain):
    assert set(plain["ends"]) <= {0, 1}
    assert len(plain["ends"]) == len(COMMANDS)
    assert {words[0] for words in COMMANDS} == set(get_command(app).commands)
    assert len(plain["written"]) > len(LAYOUTS) + 12


@pytest.mark.parametrize("what", ["code", "source", "unpacked", "libraries", "run"])
def test_only_what_is_installed_is_executed(plain, what):
    assert plain[what] == []


def test_nothing_is_read_but_the_layout_and_its_readings(plain):
    """And what is written beside it."""
    ours = {
        path
        for path in plain["opened"]
        if not path.startswith((*SYSTEM, f"{CONFIGS}/"))  # the starters
        and not path.endswith(
            (".zip", *LAYOUTS, "agrees.toml")
        )  # where Python looks for itself
        and ".throttle-linkage-" not in path
        and Path(path).parent != Path(tempfile.gettempdir())  # asked whether it is one
    }
    assert ours <= {".", "cures", "both"}


def test_neither_pint_nor_sympy_nor_a_pickle_is_loaded(plain):
    """Pint keeps a cache of its own: it is asked once, when the table is written."""
    assert not {"pint", "flexcache", "sympy", "platformdirs", "shelve"} & set(plain["tops"])  # fmt: skip


EVIL = "raise SystemExit('planted')\n"
NAMES = ["numpy", "matplotlib", "pint", "typer", "PIL", "tomllib", "json", "linkage", "derived", "sitecustomize", "usercustomize", "imageio_ffmpeg", "conftest", "styles"]  # fmt: skip


def plant(folder: Path) -> None:
    """Leave what a program might take for its own, in every folder it might look in."""
    for place in (folder, folder / "planted", folder / "planted" / "matplotlib", folder / "planted" / "throttle-linkage"):  # fmt: skip
        place.mkdir(exist_ok=True)
        for name in NAMES:
            (place / f"{name}.py").write_text(EVIL)
        (place / "matplotlibrc").write_text("font.size: 30\nlines.linewidth: 9\n")
        for name in ("formulas.pkl", "kernels.pickle", "factors.cache"):
            # Would run a command where it is unpickled.
            (place / name).write_bytes(b"cposix\nsystem\n(S'touch stolen'\ntR.")
        for version in ("330", "390", "3.11.0", "311"):
            (place / f"fontlist-v{version}.json").write_text('{"_version": "x"}')
        (place / "stylelib").mkdir(exist_ok=True)
        (place / "ffmpeg").write_text("#!/bin/sh\ntouch stolen\n")
        (place / "ffmpeg").chmod(0o755)


def test_what_was_planted_changes_nothing(plain, tmp_path):
    folder = tmp_path / "car"
    folder.mkdir()
    plant(folder)
    there = {p for p in folder.rglob("*") if p.is_file()}
    planted = str(folder / "planted")
    names = ["THROTTLE_LINKAGE_CACHE", "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "MPLCONFIGDIR", "MATPLOTLIBRC", "HOME"]  # fmt: skip
    told = watched(folder, **dict.fromkeys(names, planted))
    for what in ("ends", "printed", "code", "source", "unpacked", "libraries", "run"):
        assert told[what] == plain[what]
    mine = {str(p.relative_to(folder)) for p in there}
    assert {n: d for n, d in told["written"].items() if n not in mine} == plain[
        "written"
    ]
    assert not list(tmp_path.rglob("stolen"))
    opened = {(folder / p).resolve() for p in told["opened"]}
    assert not opened & there


@pytest.mark.parametrize("name", ["matplotlibrc", "fontlist-v330.json", "numpy.py"])
def test_the_watch_sees_what_is_opened(tmp_path, name):
    """Else the tests above could not fail."""
    path = tmp_path / name
    path.write_text("x = 1\n")
    code = WATCH.replace("main()", f"exec(compile(open({str(path)!r}).read(), {str(path)!r}, 'exec'))")  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-c", code, str(CONFIGS.parent / "linkage"), '[["check"]]'],
        cwd=CONFIGS.parent, capture_output=True, text=True, check=False,
    )  # fmt: skip
    told = json.loads(done.stderr.splitlines()[-1])
    assert str(path) in told["opened"]
    assert told["code"][0][0] == told["source"][0][0] == str(path)
