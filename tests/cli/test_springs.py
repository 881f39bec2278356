"""`springs`: the card, its picture, choosing a spring."""

import json

import numpy as np
import pytest

LIST = """\
[springs."blue, from the drawer"]
rate            = "0.40 N/mm"
free_length     = "82 mm"
initial_tension = "5 N"

[springs.limp]
rate        = "0.01 N/mm"
free_length = "82 mm"

[springs.long]
rate        = "0.5 N/mm"
free_length = "300 mm"
"""


def test_card_tells_both_and_each_alone(run, configs):
    ran = run("springs", configs / "bulkhead-cross-shaft.toml")
    assert ran.code == 0
    assert "spring `near` off" in ran.out
    assert "rod `carb` parted" in ran.out
    assert "pad N" in ran.out
    assert "Prove it" in ran.out
    assert ran.err == ""


def test_json_columns_add_up(run, configs):
    data = json.loads(
        run("springs", configs / "bulkhead-cross-shaft.toml", "--json").out
    )
    columns = {k: np.array(v, dtype=float) for k, v in data["columns"].items()}
    assert {len(v) for v in columns.values()} == {11}
    alone = (
        columns["closing_torque_near_only_N_m"] + columns["closing_torque_far_only_N_m"]
    )
    weight = alone - columns["closing_torque_N_m"]  # is in both of them
    assert np.all(np.abs(weight) < 0.1 * columns["closing_torque_N_m"])
    assert np.all(columns["pad_force_pressing_N"] >= columns["pad_force_releasing_N"])
    assert data["verdict"] != "do not fit"
    assert data["failures"][0]["what"] == "nothing failed"


def test_the_card_says_which_springs_pull_the_pedal_down(run, configs):
    ran = run("springs", configs / "fault-wrong-sense.toml", "--json")
    assert ran.code == 1
    findings = json.loads(ran.out)["findings"]
    told = {f["where"] for f in findings if f["code"] == "spring-pedal"}
    assert told == {"spring near, at rest", "spring far, at rest"}
    ran = run("springs", configs / "fault-wrong-sense.toml")
    assert "works with the pedal" in " ".join(ran.out.split())


@pytest.mark.parametrize("suffix", ["png", "svg", "pdf"])
def test_picture(run, configs, tmp_path, suffix):
    path = tmp_path / f"s.{suffix}"
    ran = run("springs", configs / "fault-spring-over-spindle.toml", "-o", path)
    assert ran.code == 1
    assert path.stat().st_size > 5000
    assert ran.err == f"wrote {path}\n"


def test_rates_are_tried_and_the_best_is_a_line_to_buy_by(run, configs):
    options = ("--choose", "near", "--rates", "0.1 to 1.6 N/mm by 0.1 N/mm")
    ran = run("springs", configs / "hanging-pedal.toml", *options, "--json")
    data = json.loads(ran.out)
    columns = data["columns"]
    assert ran.code == 0
    assert data["chosen"] == 0
    assert len(columns["fits"]) == 16
    assert columns["fits"][0]
    assert 18 <= columns["pad_force_N"][0] <= 36
    pleasant = [
        left
        for left, force, ok in zip(
            columns["closing_left_alone_N_m"],
            columns["pad_force_N"],
            columns["fits"],
            strict=True,
        )
        if ok and 18 <= force <= 36
    ]
    assert columns["closing_left_alone_N_m"][0] == max(pleasant)
    assert columns["rate_N_per_mm"][0] > 0.1
    assert "to bear" in data["buying"]
    ran = run("springs", configs / "hanging-pedal.toml", *options)
    assert "Buy: extension spring for `near`" in ran.out


def test_springs_at_hand_with_reasons(run, configs, tmp_path):
    path = tmp_path / "drawer.toml"
    path.write_text(LIST)
    ran = run(
        "springs", configs / "hanging-pedal.toml", "--choose", "near", "--at-hand", path
    )
    assert ran.code == 0
    assert "blue, from the drawer" in ran.out
    assert "hangs slack at idle" in ran.out


def test_radii_and_anchors(run, configs):
    ran = run(
        "springs", configs / "hanging-pedal.toml", "--choose", "near", "--all",
        "--radii", "24, 28 mm", "--anchor", "545, -18, 105 mm", "--anchor", "550, -18, 110 mm",
    )  # fmt: skip
    assert "of 4 tried" in ran.out


def test_refusals(run, configs, tmp_path):
    car = configs / "hanging-pedal.toml"
    none = tmp_path / "none.toml"
    text = car.read_text()
    start, end = text.index("# 6. Return"), text.index("# 7. What")
    none.write_text(text[:start] + text[end:])
    assert run("springs", none).code == 2
    assert run("springs", car, "--rates", "1 N/mm").code == 2
    assert run("springs", car, "--choose", "nea").code == 2
    assert run("springs", car, "--choose", "near", "--anchor", "1, 2 mm").code == 2
    assert run("springs", car, "-o", tmp_path / "a.gif").code == 2
    assert run("springs", car, "--choose", "near", "--rates", "1 mm").code == 3


@pytest.mark.parametrize(
    "text",
    [
        "[springs\n",
        "springs = 1\n",
        "[springs]\n",
        "[springs.a]\nrate = 1\nfoo = 2\n",
        "[springs]\na = 3\n",
        "other = 1\n[springs.a]\nrate = '1 N/mm'\n",
    ],
)
def test_a_bad_list_of_springs(run, configs, tmp_path, text):
    path = tmp_path / "drawer.toml"
    path.write_text(text)
    ran = run(
        "springs", configs / "hanging-pedal.toml", "--choose", "near", "--at-hand", path
    )
    assert ran.code == 3
    assert "drawer.toml" in ran.err


def test_a_list_for_a_spring_that_is_not_there(run, configs, tmp_path):
    path = tmp_path / "drawer.toml"
    path.write_text(LIST)
    ran = run(
        "springs", configs / "hanging-pedal.toml", "--choose", "nae", "--at-hand", path
    )
    assert ran.code == 2
