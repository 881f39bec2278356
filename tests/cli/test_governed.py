"""A governed engine on the command line: what knows it, and what says that it does not."""

import json

import pytest


@pytest.fixture
def engine(configs):
    return configs / "governed-engine.toml"


def test_its_screen_asks_a_governors_questions(run, engine):
    ran = run("check", engine)
    assert ran.code == 0
    assert ran.out.startswith("FITS\n")
    for question in ("at rest?", "shuts?", "opens?", "parted?", "locks?"):
        assert f"  {question} " in ran.out
    for word in ("pedal", " pad ", "Two springs"):
        assert word not in ran.out
    assert "Never defeat a governor" in ran.out


def test_all_of_it_and_one_finding(run, engine):
    ran = run("check", engine, "--all")
    assert "As the engine runs faster governor turns clockwise" in ran.out
    assert "pedal" not in ran.out
    assert "the governor itself: its weights" in " ".join(ran.out.split())
    why = run("check", engine, "--why", "governor-parted")
    assert why.code == 0
    assert "with rod `link` parted a spring shuts throttle" in " ".join(why.out.split())


def test_one_turn_short_is_said_with_what_to_do(run, configs):
    ran = run("check", configs / "fault-governor-rod-short.toml")
    assert ran.code == 0
    text = " ".join(ran.out.split())
    assert "the rod to the plate is one turn short" in text
    assert "Set rod `link` one turn longer, 259.7 mm instead of 258.7 mm" in text


def test_the_curve_falls(run, engine):
    ran = run("curve", engine)
    assert ran.code == 0
    assert (
        "At rest, engine stopped, 97.5% open; 0.0% with the arm at 43.3 mm"
        in " ".join(ran.out.split())
    )
    table = run("curve", engine, "--csv", "--rows", "3")
    assert table.code == 0
    head, *rows = table.out.splitlines()
    assert head == "arm_travel_mm,arm_travel_share_pct,open_angle_deg,open_share_pct"
    assert [row.split(",")[-1] for row in rows] == ["97.5247", "48.3672", "0"]


def test_curve_and_films_of_it_are_made(run, engine, configs, tmp_path):
    drawn = tmp_path / "c.svg"
    assert run("curve", engine, "-o", drawn).code == 0
    assert "arm travel" in drawn.read_text(encoding="utf-8")
    page = tmp_path / "g.html"
    assert run("animate", engine, "-o", page).code == 0
    text = page.read_text(encoding="utf-8")
    assert "Home is engine stopped, End is engine at its fastest" in text
    assert "edal" not in text.partition("<main")[0].partition("<body>")[2].replace(
        'for="pedal"', ""
    ).replace('id="pedal"', "")
    film = tmp_path / "g.gif"
    assert run("animate", engine, "-o", film, "--frames", "6").code == 0
    pedal = configs / "hanging-pedal.toml"
    for words in (
        ("curve", engine, "--over", pedal),
        ("animate", pedal, "--beside", engine, "-o", tmp_path / "x.gif"),
    ):
        ran = run(*words)
        assert ran.code == 2
        assert "govern" in ran.err
    assert not (tmp_path / "x.gif").exists()


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("rim", "ENGINE", "spindle.lever"), "moves the throttle both ways"),
        (("springs", "ENGINE", "--choose", "light"), "no spring is chosen"),
        (("compare", "ENGINE", "PEDAL"), "one of both is a governed engine"),
    ],
)
def test_what_stays_refused_says_why(run, engine, configs, words, why):
    files = {"ENGINE": engine, "PEDAL": configs / "hanging-pedal.toml"}
    ran = run(*(files.get(word, word) for word in words))
    assert ran.code == 2
    assert why in " ".join(ran.err.split())
    assert ran.out == ""


def test_an_arm_is_chosen_so_that_the_whole_travel_shuts_it(run, engine, tmp_path):
    car, out = tmp_path / "car.toml", tmp_path / "out.toml"
    text = engine.read_text(encoding="utf-8").replace("length = 38,", "length = 52,")
    car.write_text(text.replace("length   = 259.8\n", ""), encoding="utf-8")
    ran = run(
        "arm", car, "spindle.lever", "--lengths", "36 to 52 mm by 2 mm", "-o", out
    )
    assert ran.code == 0
    said = " ".join(ran.out.split())
    assert "both pins in line and then one turn that shuts; shut at" in said
    assert "pedal" not in said
    assert " pad" not in said
    assert 'length = "' in out.read_text(encoding="utf-8").partition("[rods.link]")[2]
    assert run("check", out).out.startswith("FITS\n")


def test_a_longer_arm_of_the_governor_goes_further(run, engine, tmp_path):
    """A governor turns its arm so far, whatever hole in it the rod takes."""
    car, out = tmp_path / "car.toml", tmp_path / "out.toml"
    text = engine.read_text(encoding="utf-8").replace("length = 38,", "length = 48,")
    car.write_text(text.replace("length   = 259.8\n", ""), encoding="utf-8")
    words = ("arm", car, "governor.arm", "--lengths", "88, 60 mm", "-o", out)
    ran = run(*words)
    assert ran.code == 0
    assert "whose hole goes 57.8 mm" in " ".join(ran.out.split())
    assert 'travel = "57.8286 mm"' in out.read_text(encoding="utf-8")
    assert run("check", out).out.startswith("FITS\n")


def test_its_springs_open_and_are_told_so(run, engine, tmp_path):
    drawn = tmp_path / "s.svg"
    ran = run("springs", engine, "-o", drawn)
    assert ran.code == 0
    said = " ".join(ran.out.split())
    assert "positive opens, negative shuts" in said
    for word in ("pedal", " pad", "closing", "to idle", "at idle"):
        assert word not in said
    text = drawn.read_text(encoding="utf-8")
    for told in ("opening torque", "friction: opens above it", "light alone: shuts it"):
        assert told in text
    assert "pad force" not in text
    data = json.loads(run("springs", engine, "--json", "--rows", "3").out)
    columns = data["columns"]
    assert columns["open_angle_deg"][0] > columns["open_angle_deg"][-1]
    assert (
        min(columns["opening_torque_N_m"])
        > 0
        > max(columns["opening_torque_light_only_N_m"])
    )
    off = next(f for f in data["failures"] if f["what"] == "spring `governor` off")
    assert off["opening_torque_most_N_m"] < 0


def test_two_governed_engines_are_compared_in_their_own_words(run, engine, tmp_path):
    new = tmp_path / "new.toml"
    text = engine.read_text(encoding="utf-8")
    new.write_text(text.replace('opens   = "anticlockwise"', 'opens   = "clockwise"'))
    ran = run("compare", engine, new)
    assert ran.code == 1
    said = " ".join(ran.out.split())
    assert "The governor shut `throttle`; now it OPENS it." in said
    assert "`throttle` shut clockwise, now anticlockwise" in said
    assert "shuts again, 100% at 43.3 mm of arm travel; it fits" in said
    for word in ("Pressing", "edal", "of pad", "pad force"):
        assert word not in said


def test_a_lever_on_the_wrong_side_is_compared_as_data_and_in_full(
    run, engine, tmp_path
):
    new = tmp_path / "new.toml"
    text = engine.read_text(encoding="utf-8").replace("angle = 127", "angle = -127")
    text = text.replace("length   = 259.8\n", "")
    new.write_text(text, encoding="utf-8")
    data = json.loads(run("compare", engine, new, "--json").out)
    assert (data["old"]["right_way"], data["new"]["right_way"]) == (True, False)
    light = next(s for s in data["springs"] if s["part"] == "light")
    assert (light["old"], light["new"]) == ("with the governor", "against the governor")
    assert (light["old_plate"], light["new_plate"]) == ("shuts", "shuts")
    ways = {t["parts"][0]["part"]: t["right_way"] for t in data["tried"]}
    assert ways == {"link": False, "spindle.lever": True}
    told = json.dumps(data, ensure_ascii=False)
    assert "pressing" not in told.lower()
    said = " ".join(run("compare", engine, new, "--all").out.split())
    assert "rod `link` of its old length: opens; the way the governor turns" in said


def test_an_engine_whose_carburettor_turns_the_other_way_is_set_back_in_its_words(
    run, engine, tmp_path
):
    new = tmp_path / "new.toml"
    text = engine.read_text(encoding="utf-8")
    new.write_text(text.replace('opens   = "anticlockwise"', 'opens   = "clockwise"'))
    said = " ".join(run("compare", engine, new, "--all").out.split())
    assert "a carburettor that shuts clockwise seen from the right" in said


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("travel = 46", "travel = 4.6", "the governor's travel was measured in cm"),
        (
            'turns  = "clockwise"',
            'turns  = "anticlockwise"',
            "`turns` was seen from the left",
        ),
        (
            'opens   = "anticlockwise"',
            'opens   = "clockwise"',
            "it opens anticlockwise",
        ),
        ("angle = 127", "angle = 53", "`spindle.lever` was looked at from the left"),
    ],
)
def test_slips_of_measuring_it_are_told(run, engine, tmp_path, old, new, says):
    text = engine.read_text(encoding="utf-8")
    assert old in text
    car = tmp_path / "car.toml"
    car.write_text(text.replace(old, new), encoding="utf-8")
    said = " ".join(run("check", car).out.split())
    assert "or a slip?" in said
    assert says in said


def test_its_measuring_sheet_asks_for_a_governor(run, tmp_path):
    from linkage.config import load
    from linkage.config.starters import starter
    from linkage.sheet.letters import lettered

    out = tmp_path / "sheet.pdf"
    assert run("measure", "governed-engine", out).code == 0
    assert out.read_bytes().startswith(b"%PDF")
    groups = {
        g.title: g for g in lettered(load(starter("governed-engine").path).layout)
    }
    assert "Pad travel" not in groups
    assert [b.words for b in groups["Governor"].rows[0].boxes] == [
        "rest to end",
        "turns, faster",
    ]
    assert "lever on its full stop" in groups["spindle"].note
    words = " ".join(
        g.note + " ".join(r.words for r in g.rows) for g in groups.values()
    )
    assert "pedal" not in words
    assert "pad" not in words


def test_it_is_offered_and_written(run, tmp_path):
    assert "governed-engine" in run("new", "--list").out
    out = tmp_path / "engine.toml"
    assert run("new", "governed-engine", "-o", out).code == 0
    assert run("check", out).code == 0


ACROSS = """[shafts.cross]
pivot   = [260, 0, 28]
axis    = "across"
bearing = 7
drag    = "0.01 N·m"
arms.in  = { length = 45, angle = 101 }
arms.out = { length = 45, angle = 115, offset = -60 }

[shafts.spindle]
pivot   = [400, 60, 40]
axis    = "across"
bearing = 7
drag    = "0.02 N·m"
arms.lever  = { length = 42, angle = 127 }

[rods.link]
from     = "governor.arm"
to       = "cross.in"
joints   = "ball with clip"
diameter = 5

[rods.two]
from     = "cross.out"
to       = "spindle.lever"
joints   = "ball with clip"
diameter = 5

"""


def test_its_carburettor_goes_across_and_its_springs_stay_what_they_are(
    run, engine, tmp_path
):
    """Turned round it would open; of every cure that fits the light spring still shuts."""
    text = engine.read_text(encoding="utf-8")
    start, end = text.index("# 2. The carb"), text.index("# 4. The governor:")
    car, cures = tmp_path / "car.toml", tmp_path / "cures"
    car.write_text(text[:start] + ACROSS + text[end:], encoding="utf-8")
    ran = run(
        "swap", car, "--to", "y = -60 mm", "--carburettor", "turned", "--out-dir", cures
    )
    assert ran.code == 0
    said = " ".join(ran.out.split())
    assert "the governor NOW opens throttle; before it shut it" in said
    assert "spring `governor` pulls rearward: the opening way, as before" in said
    assert "then: the governor shuts throttle by 100.0%" in said
    for word in (
        "pressing",
        "edal",
        "of pad",
        "fit spring",
        "at idle",
        "the car ",
    ):
        assert word not in said
    words = ("swap", car, "--to", "y = -60 mm", "--carburettor", "turned", "--json")
    data = json.loads(run(*words).out)
    assert data["right_way"] is False
    told = {(f["kind"], f["part"]): (f["before"], f["after"]) for f in data["facts"]}
    assert told["pedal", "throttle"] == ("shuts", "opens")
    assert told["spring", "governor"] == ("opening", "opening")
    done = run("check", cures / "01-arm-on-the-other-side.toml")
    assert done.code == 0
    assert "at rest? yes, the plate stands just off its full stop at rest" in " ".join(
        done.out.split()
    )
    assert "a spring opens the plate" not in done.out
