"""The sheets that read tables of bolts: ``judge`` and ``bolts``, and the joint in ``clamp``."""

import pytest

from tests.cli.test_work_out import run, worked

SEVEN = "bolt,torque [N·m],angle [°]\n1,81,90\n2,80,91\n3,79.5,89\n4,82,90\n5,80,140\n6,81,88\n7,48,90\n"


@pytest.fixture
def table(tmp_path):
    def write(text):
        path = tmp_path / "bolts.csv"
        path.write_text(text, encoding="utf-8")
        return str(path)

    return write


def test_a_bolt_that_strikes_is_named_with_what_it_may_be(table):
    found = worked("judge", table(SEVEN))
    assert found["doubts"] == [
        "Bolt 7 is well below its neighbours: stretched thread, or missed.",
        "Bolt 5 is turned well beyond its neighbours: stretched thread, or something soft beneath.",
    ]
    assert (found["torque"]["median"], found["torque"]["mad"]) == ("80.0", "1.0")


def test_pound_feet_and_decimal_commas_say_the_same(table):
    text = "bolt;torque\n" + "".join(
        f"{one};{at} lbf·ft\n" for one, at in enumerate(["59,7", "59", "58,6", "60,5", "59", "59,7", "35"], 1)
    )
    assert worked("judge", table(text))["doubts"] == [
        "Bolt 7 is well below its neighbours: stretched thread, or missed."
    ]


def test_nothing_that_strikes_is_no_pass(table):
    found = worked("judge", table("bolt,torque\n" + "".join(f"{at},80 Nm\n" for at in range(1, 9))))
    assert found["doubts"] == []
    assert found["answer"][-1] == "Nothing strikes. That says nothing of what all of them have in common."


def test_five_bolts_are_too_few(table):
    found = worked("judge", table("bolt,torque\n1,80 Nm\n2,80 Nm\n3,80 Nm\n4,80 Nm\n5,20 Nm\n"))
    assert found["doubts"] == []
    assert "Too few to doubt one of them: that takes six." in found["answer"]


JOINT = ("--thread", "M10", "--strength", "10.9", "--length", "60mm", "--snug", "30Nm")


def test_all_bolts_may_be_wrong_together_and_the_joint_tells(table):
    path = table("bolt,torque\n" + "".join(f"{at},40 Nm\n" for at in range(1, 9)))
    found = worked("judge", path, *JOINT, "--angle", "90deg")
    assert len(found["doubts"]) == 8
    assert "less than the joint accounts for" in found["doubts"][0]


def test_an_angle_at_a_torque_is_compared_with_how_the_joint_gives_way(table):
    text = "bolt,torque,angle\n" + "".join(f"{at},50 Nm,{angle}°\n" for at, angle in enumerate((30, 35, 5, 200), 1))
    doubts = worked("judge", table(text), *JOINT)["doubts"]
    assert [doubt.split(" turned")[0] for doubt in doubts] == ["Bolt 3", "Bolt 4"]


def test_a_check_names_what_moved_on_early(table):
    text = "bolt,torque [N·m],again [N·m]\n1,80,78\n2,80,60\n3,80,\n"
    assert worked("judge", table(text), "--again", "85")["doubts"] == [
        "Bolt 2 moved on below 85 % of its torque: it settled, or it was not tight."
    ]


def test_bolts_that_are_too_long_are_named(table):
    found = worked("bolts", table("bolt,length [mm]\n1,118.2\n2,118.49\n3,118.7\n"), "--limit", "118.5mm")
    assert found["replace"] == [3]
    assert found["close"] == [2]
    assert found["answer"] == [
        "1 of 3 bolts are within the limit of 118.5 mm.",
        "Replace bolt 3: longer than 118.5 mm.",
    ]


def test_lengths_and_limit_may_be_in_inches(table):
    found = worked("bolts", table("bolt,length [in]\n1,4.655\n2,4.67\n"), "--limit", "4.665in")
    assert found["reuse"] == {"1": "within", "2": "beyond"}


def test_the_clamp_length_gives_the_force_of_a_degree_and_a_stretch_the_nut_factor():
    found = worked("clamp", "48Nm", "--thread", "M10", "--strength", "8.8", "--length", "60mm", "--stretch", "0.18mm")
    # Between nothing and a bolt alone, 826 N (on paper); Shigley, table 8-15, from memory: 0.18 lubricated.
    assert 400 < float(found["force_of_degree_N"]) < 826
    assert float(found["nut_factor_by_stretch"]) == pytest.approx(0.18, abs=0.01)


@pytest.mark.parametrize(
    ("text", "words", "says"),
    [
        ("bolt,torque\n1,80\n2,81\n", ("judge",), 'row 2, column B: "80" has no unit'),
        ("bolt,torque\n1,80 Nm\n1,81 Nm\n", ("judge",), "bolt 1 is there twice"),
        ("bolt,torque\none,80 Nm\n", ("judge",), "is no number of a bolt"),
        ("screw,torque\n1,80 Nm\n", ("judge",), "has no column of bolts"),
        ("bolt,colour\n1,red\n", ("judge",), "neither torques nor angles"),
        ("bolt,torque\n1,80 Nm\n", ("judge", "--accuracy", "0"), "is not an accuracy"),
        ("bolt,torque\n1,80 Nm\n", ("judge", "--again", "85"), "lacks a column"),
        ("bolt,torque\n1,80 Nm\n", ("judge", "--thread", "M10"), "--strength, --length, --snug, --angle too"),
        ("bolt,torque\n1,80 Nm\n", ("judge", *JOINT, "--length", "60m", "--angle", "90deg"), '"m" is not a unit'),
        ("bolt,length\n1,118\n", ("bolts", "--limit", "118.5mm"), '"118" has no unit'),
        ("bolt,length\n1,118 mm\n", ("bolts", "--limit", "118.5"), '"118.5" has no unit'),
        ("", ("judge",), "is empty"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_one_sentence(table, text, words, says):
    result = run(words[0], table(text), *words[1:])
    assert result.exit_code != 0
    assert says in " ".join(result.output.split())
    assert "Traceback" not in result.output


@pytest.mark.parametrize("words", [("--stretch", "0.1mm"), ("--length", "2m"), ("--length", "900mm")])
def test_a_length_that_cannot_be_is_one_sentence(words):
    result = run("clamp", "45Nm", "--thread", "M10", "--strength", "8.8", *words)
    assert result.exit_code == 2
    assert "Traceback" not in result.output
