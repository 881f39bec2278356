"""The layouts that come with the program, and choices written back into a file."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from linkage.config import chosen_arms, edit, loads
from linkage.config.starters import folder, starter
from linkage.config.starters import starters as all_starters
from linkage.errors import UsageError
from linkage.model import Hole
from tests.cli.conftest import CONFIGS
from tests.unit.edits import LEVER as LEVER_LINE
from tests.unit.edits import STOP, TO, TRUCK

LEVER = Hole(shaft="spindle", arm="lever")


def test_every_file_of_the_folder_with_its_first_line():
    found = all_starters()
    assert set(found) == {p.stem for p in CONFIGS.glob("*.toml")}
    for one in found.values():
        first = one.path.read_text(encoding="utf-8").splitlines()[0]
        assert first == f"# {one.title}"
        assert one.title


def test_titles_are_one_to_each():
    titles = [s.title for s in all_starters().values()]
    assert len(set(titles)) == len(titles)


def test_in_an_installed_package_they_lie_inside(tmp_path, monkeypatch):
    import linkage.config.starters as module

    package = tmp_path / "linkage"
    (package / "config").mkdir(parents=True)
    monkeypatch.setattr(module, "__file__", str(package / "config" / "starters.py"))
    assert folder() == tmp_path / "configs"  # a checkout
    (package / "configs").mkdir()
    assert folder() == package / "configs"


def test_an_unknown_name_is_refused_with_the_nearest():
    with pytest.raises(UsageError, match="no starter layout `hanging-pedel`") as caught:
        starter("hanging-pedel")
    assert "did you mean `hanging-pedal`?" in caught.value.hint
    assert "new --list" in caught.value.hint


def _loaded(*edits):
    text = (CONFIGS / f"{TRUCK}.toml").read_text(encoding="utf-8")
    for old, new in edits:
        assert text.count(old) == 1
        text = text.replace(old, new)
    return loads(text, "car.toml")


def _changed(loaded, layout, rods=None):
    """Return what is set but the title, which tells of the choice every time."""
    changes = chosen_arms(loaded, layout, [LEVER], rods or {})
    assert changes.pop(("title",)).startswith(f"{loaded.layout.title}, with arm ")
    return changes


def test_only_what_changed_is_written():
    loaded = _loaded()
    assert _changed(loaded, loaded.layout) == {}
    longer = loaded.layout.with_arm(LEVER, length=0.0315)
    key = ("shafts", "spindle", "arms", "lever")
    assert _changed(loaded, longer) == {(*key, "length"): "31.5 mm"}
    turned = loaded.layout.with_arm(LEVER, angle=math.radians(50.5))
    assert _changed(loaded, turned) == {(*key, "angle"): "50.5000 deg"}


def test_a_file_without_a_title_gets_none():
    line = next(i for i in _loaded().text.splitlines() if i.startswith("title"))
    loaded = _loaded((f"{line}\n", ""))
    longer = loaded.layout.with_arm(LEVER, length=0.0315)
    changes = chosen_arms(loaded, longer, [LEVER], {})
    assert changes == {("shafts", "spindle", "arms", "lever", "length"): "31.5 mm"}
    assert loads(edit(loaded.text, changes)).layout == longer


def test_rods_that_are_cut_to_fit_stay_so_and_given_ones_follow():
    loaded = _loaded()
    assert _changed(loaded, loaded.layout, {"link": 0.43}) == {}
    given = _loaded((TO, f'{TO}\nlength = "431 mm"'))
    assert _changed(given, given.layout, {"link": 0.4301234}) == {
        ("rods", "link", "length"): "430.1234 mm"
    }


def test_a_pin_becomes_length_angle_and_offset():
    loaded = _loaded((LEVER_LINE, "arms.lever = { pin = [450, -40, 107] }"))
    changes = _changed(loaded, loaded.layout)
    key = ("shafts", "spindle", "arms", "lever")
    assert changes[(*key, "pin")] is None
    assert {k[-1] for k in changes} == {"pin", "length", "angle", "offset"}
    again = loads(edit(loaded.text, changes)).layout.shafts["spindle"].arms["lever"]
    old = loaded.layout.shafts["spindle"].arms["lever"]
    assert again.length == pytest.approx(old.length, abs=1e-7)
    assert again.angle == pytest.approx(old.angle, abs=1e-6)
    assert again.offset == pytest.approx(old.offset, abs=1e-7)


@pytest.mark.parametrize(("stop", "written"), [(0.071, "71 mm"), (None, None)])
def test_the_pedal_stop_moves_with_the_choice(stop, written):
    """Where the floor now comes first an old stop would take the stroke away."""
    loaded = _loaded()
    pedal = replace(loaded.layout.pedal, stop=stop)
    changes = _changed(loaded, replace(loaded.layout, pedal=pedal))
    assert changes == {("pedal", "stop"): written}
    again = loads(edit(loaded.text, changes)).layout
    assert again.pedal.stop == (None if stop is None else pytest.approx(stop))


def test_a_layout_without_a_stop_gets_none():
    loaded = _loaded((STOP, ""))
    assert _changed(loaded, loaded.layout) == {}
    assert Path(loaded.path).name == "car.toml"
