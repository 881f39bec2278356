"""A governed engine on the command line: what knows it, and what says that it does not."""

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
    "words",
    [
        ("arm", "ENGINE", "spindle.lever"),
        ("springs", "ENGINE"),
        ("swap", "ENGINE"),
        ("compare", "ENGINE", "ENGINE"),
        ("rim", "ENGINE", "spindle.lever"),
    ],
)
def test_what_is_for_a_pedal_says_so(run, engine, words, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    ran = run(*(engine if word == "ENGINE" else word for word in words))
    assert ran.code == 2
    assert "governed engine" in ran.err
    assert ran.out == ""
    assert not [*tmp_path.iterdir()]


def test_there_is_no_measuring_sheet_yet(run, tmp_path):
    ran = run("measure", "governed-engine", tmp_path / "sheet.pdf")
    assert ran.code == 2
    assert "no measuring sheet" in ran.err
    assert not [*tmp_path.iterdir()]


def test_it_is_offered_and_written(run, tmp_path):
    assert "governed-engine" in run("new", "--list").out
    out = tmp_path / "engine.toml"
    assert run("new", "governed-engine", "-o", out).code == 0
    assert run("check", out).code == 0
