"""`check`: verdict, findings, cures, exit status, picture."""

import json
import re

import jsonschema
import pytest

from linkage.config.starters import starters
from linkage.rules.caution import GEOMETRY_ALONE
from linkage.rules.order import FORCE_CODES, ROCK_CODES
from tests.cli.conftest import CONFIGS

FITS = [
    n
    for n in starters()
    if not n.startswith("fault-") and "wrong" not in n and "before" not in n
]
#: What each fault file is made to show: its findings that do not fit, no more.
FAULTS = {
    # Where pressing shuts the plate, springs that shut it pull the pedal down.
    "fault-wrong-sense": {"opening-sense", "spring-pedal"},
    "fault-lever-clocked-late": {"arm-rod-angle", "dead-centre"},
    "fault-hole-too-long": {"full-throttle"},
    "fault-cross-shaft-arm-short": {"full-throttle"},
    "fault-spring-over-spindle": {"spring-line"},
    "fault-one-spring-only": {"energy-sources"},
    "fault-engine-rock": {"engine-rock"},
    "fault-spring-wrong-hand": {"spring-hand"},
    "fault-over-travel-too-soft": {"over-travel-load"},
    # A stuck gearbox lever holds the throttle; a slot takes the spring from the plate.
    "fault-sheath-too-sharp": {"sheath-bend"},
    "fault-drum-unwound": {"drum-unwound"},
    "fault-cam-too-short": {"reach"},
    "fault-guide-too-short": {"guide-jam", "closing-torque-one-off"},
    "fault-slot-too-short": {"slot-lets-go"},
    "fault-rod-rubs": {"gap", "engine-gap"},
    "fault-heat-holds-open": {"heat-idle"},
    "fault-hand-fights-pedal": {"pedal-drags-hand"},
    "fault-fast-idle-too-far": {"hand-fast-idle"},
    "fault-kickdown-first": {"kickdown", "full-throttle"},
    "fault-spring-before-slot": {"energy-sources"},
    "fault-springs-too-weak": {"closing-torque", "closing-torque-one-off"},
    "fault-unequal-twin-levers": {"full-throttle"},
}
#: What is to be looked at in them besides.
LOOKS = {
    "fault-unequal-twin-levers": ["left-over-travel", "throttle-spread"],
    "fault-hand-fights-pedal": ["hand-holds"],
    "fault-guide-too-short": ["pad-force"],
}


@pytest.mark.parametrize("name", FITS)
def test_shipped_families_fit(once, name):
    ran = once("check", CONFIGS / f"{name}.toml")
    assert ran.code == 0, ran.out
    assert "DO NOT FIT" not in ran.out
    assert ran.err == ""


@pytest.mark.parametrize(("name", "codes"), FAULTS.items())
def test_shipped_faults_show_what_is_wrong_and_nothing_else(once, name, codes):
    ran = once("check", CONFIGS / f"{name}.toml", "--json")
    assert ran.code == 1
    data = json.loads(ran.out)
    assert data["verdict"] == "do not fit"
    assert {
        f["code"] for f in data["findings"] if f["verdict"] == "do not fit"
    } == codes
    looks = [f["code"] for f in data["findings"] if f["verdict"] == "look"]
    assert looks == LOOKS.get(name, [])


def test_no_pedal_stop_is_one_thing_to_look_at(once, configs):
    ran = once("check", configs / "fault-no-pedal-stop.toml", "--json")
    assert ran.code == 0
    data = json.loads(ran.out)
    assert [f["code"] for f in data["findings"] if f["verdict"] != "fits"] == [
        "stamp-load"
    ]


def _springless(path):
    """Return a layout file without its springs."""
    tables = re.split(r"^(?=\[)", path.read_text(), flags=re.MULTILINE)
    return "".join(t for t in tables if not t.startswith("[springs."))


def test_without_any_spring_it_does_not_fit_yet(run, car, configs):
    sprung = run("check", car)
    car.write_text(_springless(car))
    ran = run("check", car)
    assert (sprung.code, ran.code) == (0, 1)
    head = "DO NOT FIT YET: no spring is given, so whether it shuts was not checked"
    assert ran.out.splitlines()[0] == head
    assert "DO NOT FIT" not in sprung.out
    assert json.loads(run("check", car, "--json").out)["verdict"] == "do not fit"
    car.write_text(_springless(configs / "fault-hole-too-long.toml"))
    assert (
        "DO NOT FIT: the plate opens only 70.7%, and one more fault"
        in run("check", car).out
    )


def test_geometry_alone_judges_no_force_and_says_so(run, car):
    car.write_text(_springless(car))
    ran = run("check", car, "--geometry")
    assert ran.code == 0
    head = "Geometry alone: FITS; forces and springs were NOT judged"
    assert ran.out.splitlines()[0] == head
    data = json.loads(run("check", car, "--geometry", "--json").out)
    assert data["geometry_alone"] is True
    assert not FORCE_CODES & {f["code"] for f in data["findings"]}
    assert ROCK_CODES & {f["code"] for f in data["findings"]}
    assert any("geometry alone was asked" in w for w in data["not_checked"])


def test_geometry_alone_sees_no_spring_but_all_of_the_geometry(once, configs):
    weak = configs / "fault-springs-too-weak.toml"
    assert once("check", weak).code == 1
    assert once("check", weak, "--geometry").code == 0
    short = once("check", configs / "fault-hole-too-long.toml", "--geometry")
    assert short.code == 1
    assert " ".join(short.out.split()).startswith(
        "DO NOT FIT: the plate opens only 70.7% "
        "(geometry alone: forces and springs were NOT judged)"
    )
    assert "WHAT TO DO" in short.out


def test_cures_of_geometry_alone_ask_for_no_spring(run, configs, car):
    """Every plan of a whole check would have to bring the springs, too."""
    car.write_text(_springless(configs / "fault-lever-clocked-late.toml"))
    data = json.loads(run("check", car, "--geometry", "--json").out)
    assert data["verdict"] == "do not fit"
    assert data["plan"]


def test_a_picture_of_geometry_alone_says_so(run, car, tmp_path):
    path, whole = tmp_path / "alone.svg", tmp_path / "whole.svg"
    assert run("check", car, "--geometry", "--picture", path).code == 0
    run("check", car, "--picture", whole)
    assert GEOMETRY_ALONE in path.read_text()
    assert GEOMETRY_ALONE not in whole.read_text()


def test_every_fault_file_is_tried():
    tried = {*FAULTS, "fault-no-pedal-stop", "fault-governor-rod-short"}
    assert {n for n in starters() if n.startswith("fault-")} == tried


@pytest.mark.parametrize("name", FAULTS)
def test_every_fault_comes_with_a_cure(once, name):
    data = json.loads(once("check", CONFIGS / f"{name}.toml", "--json").out)
    for finding in data["findings"]:
        assert (finding["cure"] is not None) == (finding["verdict"] != "fits")


def test_do_not_fit_stands_first_and_no_ok(once, configs):
    ran = once("check", configs / "fault-hole-too-long.toml")
    assert ran.out.splitlines()[0] == "DO NOT FIT: the plate opens only 70.7%"
    whole = once("check", configs / "fault-hole-too-long.toml", "--all")
    assert whole.out.splitlines()[0] == ran.out.splitlines()[0]
    assert "OK" not in ran.out + whole.out
    assert "prove it on the vehicle" in ran.out
    assert "licensed engineer" in whole.out


@pytest.mark.parametrize("path", sorted(CONFIGS.glob("*.toml")), ids=lambda p: p.stem)
def test_json_follows_the_documented_schema(once, path):
    schema = json.loads((CONFIGS.parent / "docs" / "check.schema.json").read_text())
    jsonschema.validate(json.loads(once("check", path, "--json").out), schema)


def test_echo_says_what_was_understood(once, configs):
    ran = once("check", configs / "hanging-pedal.toml", "--echo")
    assert "springs.near.rate = 0.45 N/mm: 0.45 N/mm" in ran.out


def test_changed_limits_are_told(run, car):
    car.write_text(car.read_text() + '\n[limits]\nfull_throttle = "95 %"\n')
    assert "full_throttle: 95.0% instead of 98.0%" in run("check", car, "--all").out
    assert run("check", car).out.splitlines()[0] == "FITS; loosened: full_throttle"
    short = run("check", car).out
    assert "DO NOT FIT" not in short
    fault = CONFIGS / "fault-hole-too-long.toml"
    car.write_text(fault.read_text() + '\n[limits]\nfull_throttle = "95 %"\n')
    lines = run("check", car).out.splitlines()
    assert lines[1] == "Loosened in the file: full_throttle 95.0% instead of 98.0%."


def test_the_verdict_stands_first_whatever_is_asked_besides(once, configs):
    fault = configs / "fault-hole-too-long.toml"
    for more in ([], ["--echo"], ["--all"], ["--all", "--echo"], ["--why", "reach"]):
        first = once("check", fault, *more).out.splitlines()[0]
        assert first == "DO NOT FIT: the plate opens only 70.7%"


def test_all_tells_every_finding_that_json_tells(once, configs):
    fault = configs / "fault-hole-too-long.toml"
    text = " ".join(once("check", fault, "--all").out.split())
    data = json.loads(once("check", fault, "--json").out)
    for finding in data["findings"]:
        assert f"{finding['text']} [{finding['code']}]" in text
    assert all(caution in text for caution in data["cautions"])
    assert data["headline"] == "DO NOT FIT: the plate opens only 70.7%"
    assert len(data["plan_steps"]) > 1
    short = " ".join(once("check", fault).out.split())
    for step in data["plan_steps"]:
        assert step[1:] in short


def test_why_explains_one_finding(once, configs):
    fault = configs / "fault-hole-too-long.toml"
    text = " ".join(once("check", fault, "--why", "[full-throttle]").out.split())
    assert "full-throttle: full throttle" in text
    for word in (
        "It looks at: ",
        "Limits, set under [limits]: ",
        "number 70.7%",
        "limit 98.0%",
        "common practice",
        "Not judged where",
        "cure: ",
        "What mends it: ",
    ):
        assert word in text  # fmt: skip


def test_why_says_what_keeps_a_finding_from_being_judged(once, configs):
    wrong = once(
        "check", configs / "fault-wrong-sense.toml", "--why", "dead-centre"
    ).out
    assert (
        "not judged, as this is wrong already: the pedal shuts the plate"
        in " ".join(wrong.split())
    )
    alone = once(
        "check", configs / "hanging-pedal.toml", "--geometry", "--why", "pad-force"
    )
    assert "geometry alone was asked" in alone.out


def test_why_of_no_finding_is_refused_with_the_nearest(run, car):
    ran = run("check", car, "--why", "full-throtle")
    assert ran.code == 2
    assert "did you mean `full-throttle`?" in ran.err


@pytest.mark.parametrize(
    ("suffix", "at"), [("png", "idle"), ("svg", "full"), ("pdf", "50%")]
)
def test_picture(run, car, tmp_path, suffix, at):
    path = tmp_path / f"car.{suffix}"
    ran = run("check", car, "--picture", path, "--at", at)
    assert ran.code == 0
    assert ran.err == f"wrote {path}\n"
    head = {"png": b"\x89PNG", "svg": b"<?xml", "pdf": b"%PDF"}[suffix]
    assert path.read_bytes().startswith(head)


def test_picture_is_refused_before_work(run, car, tmp_path):
    path = tmp_path / "car.png"
    path.write_text("old")
    ran = run("check", car, "--picture", path)
    assert ran.code == 2
    assert "--force" in ran.err
    assert path.read_text() == "old"
    assert run("check", car, "--picture", tmp_path / "car.bmp").code == 2
    assert run("check", car, "--picture", path, "--force", "--quiet").err == ""


@pytest.mark.parametrize(
    ("option", "value"), [("--at", "middle"), ("--at", "120%"), ("--paper", "a3")]
)
def test_words_that_are_none(run, car, option, value):
    ran = run("check", car, option, value)
    assert ran.code == 2
    assert "hint" in ran.err


#: Keys whose bare numbers are lengths, and how a table of numbers begins.
LENGTHS = {
    "travel",
    "stop",
    "bore",
    "spindle",
    "free_length",
    "greatest_length",
    "bearing",
    "diameter",
}
POINTS = ("pivot   = [", "anchor          = [")


def _quoted(line: str) -> str:
    """Return a line of a layout with its bare millimetres as text with their unit."""
    key = line.partition("=")[0].strip()
    if key in LENGTHS:
        value, _, rest = line.partition("=")[2].strip().partition(" ")
        return f'{key} = "{value} mm" {rest}'
    for word in POINTS:
        if line.startswith(word):
            numbers = line[len(word) : -1].split(", ")
            return word + ", ".join(f'"{n} mm"' for n in numbers) + "]"
    if line.startswith("arms"):
        line = re.sub(r"(length|offset) = (-?[0-9.]+)", r'\1 = "\2 mm"', line)
    line = line.replace("point = [300, 0, -100]", 'point = ["300 mm", 0, "-100 mm"]')
    return line.replace("initial_tension = 5", 'initial_tension = "5 N"')


def test_sentences_speak_in_the_units_of_the_file(run, car):
    text = car.read_text()
    assert "71.0 mm of pad travel" in run("check", car, "--all").out
    head = 'length = "mm", angle = "deg", force = "N"'
    text = text.replace(head, 'length = "in", angle = "deg", force = "lbf"')
    car.write_text("\n".join(_quoted(line) for line in text.splitlines()) + "\n")
    for out in (run("check", car).out, run("check", car, "--all").out):
        assert re.search(r"2.[78]. in of pad travel", out)
        assert "lbf" in out
        assert " mm" not in out
    data = json.loads(run("check", car, "--json").out)
    assert data["pad_travel_end_mm"] == pytest.approx(70.6, abs=0.05)
    assert (
        "71.0 mm of pad travel"
        in run("check", CONFIGS / "bulkhead-cross-shaft.toml", "--all").out
    )


def test_a_picture_may_show_the_hand_lever_pulled(run, tmp_path):
    both = CONFIGS / "hand-and-foot.toml"
    out = tmp_path / "hand.svg"
    assert run("check", both, "--picture", out, "--by", "hand").code == 0
    assert "hand lever at 120.0 mm" in out.read_text()
    for words, says in (
        ((CONFIGS / "hanging-pedal.toml", "--by", "hand"), "no hand lever"),
        ((both, "--by", "foot"), "`foot` is no input"),
    ):
        ran = run("check", *words)
        assert ran.code != 0
        assert says in ran.err
        assert ran.out == ""
