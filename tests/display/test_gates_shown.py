"""What the page shows of locks, second people and pictures; and that a picture is no way to any other file."""

from __future__ import annotations

import shutil
from hashlib import sha256
from pathlib import Path

import pytest

from assistant.bay.job_opening import resume_job
from assistant.display.picture import picture
from assistant.events import Source, Thresholds
from assistant.facts.bay import PicturesKept
from tests.display.play import ROOT
from tests.display.wire import ask

GATED = ROOT / "tests/typed/procedures/gated-tank.yaml"
DRAWING = GATED.parent / "level-pin.png"
TO_LEVEL = ("next",) * 5


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder of its own with the procedure and its drawing."""
    made = tmp_path / "procedures"
    made.mkdir()
    for path in (GATED, DRAWING):
        shutil.copy(path, made)
    return made


def shown(play) -> dict:
    board = play.display.board
    return picture(play.runner.session.view(play.now), None, {}, board._pictures)


def to_level(play) -> None:
    """Go on to the step with the drawing."""
    play.say("next", "next", "next", "next", "next", "yes", "operator one", "i have seen it")
    play.say("reading zero point two five", "confirmed", "next", "next", "next", "next", "filled eleven")


def test_what_is_locked_stands_on_the_page_until_it_is_out(begin):
    play = begin(GATED, operator="Ada Marsh, Ben Osei")
    found = []
    play.say("next", "next", "next")
    for phrase in ("next", "next", "yes", "operator one", "i have seen it", "reading zero point two five", "confirmed"):
        play.say(phrase)
        found.append(shown(play)["locked"])
    play.say("next")
    found.append(shown(play)["locked"])
    play.say("next")
    found.append(shown(play)["locked"])
    both = "crank pin, cam bar"
    assert found == ["crank pin", both, both, both, both, both, both, "cam bar", ""]


def test_who_is_asked_for_stands_large_with_those_who_are_known(begin):
    play = begin(GATED, operator="Ada Marsh, Ben Osei")
    play.say("next", "next", "next", "next", "next", "no", "release the gate")
    now = shown(play)
    assert now["headline"] == "Who releases the gate at step three?"
    assert now["things"] == ["operator one: Ben Osei"]
    assert (now["mode"], now["say"]) == ("asking", "operator and the number, or cancel")
    play.say("Carla Lind", source=Source.KEY)
    play.say("the mark is worn", source=Source.KEY)
    play.say("end note")
    assert shown(play)["headline"].endswith("Carla Lind, say: I release it.")
    assert shown(play)["say"] == "i release it, or cancel"


def test_an_amount_stands_large_with_its_unit(begin):
    play = begin(GATED, operator="Ada Marsh, Ben Osei")
    to_level(play)
    play.say("go back")
    now = shown(play)
    assert now["value"] == {"number": "11", "unit": "l", "note": ""}
    assert now["say"] == "filled and the amount"


def test_a_drawing_is_shown_at_its_step_and_sent_by_its_hash(begin, folder):
    play = begin(folder / GATED.name, operator="Ada Marsh, Ben Osei")
    assert shown(play)["photo"] is None
    to_level(play)
    photo = shown(play)["photo"]
    data = DRAWING.read_bytes()
    assert photo == {"address": f"/pictures/{sha256(data).hexdigest()}", "name": "level-pin.png", "fault": ""}
    answer = ask(play.display.link, photo["address"])
    assert (answer.status, answer.headers["content-type"], answer.body) == (200, "image/png", data)
    kept = [entry.fact for entry in play.job.entries() if isinstance(entry.fact, PicturesKept)]
    assert [one.sha256 for one in kept[0].pictures] == [sha256(data).hexdigest()]


@pytest.mark.parametrize(
    "path",
    [
        "/pictures/level-pin.png", "/pictures/", "/pictures/..%2f..%2fetc%2fpasswd", "/pictures/../gated-tank.yaml",
        "/pictures/%2e%2e/gated-tank.yaml", f"/pictures/{'0' * 64}", "/pictures/gated-tank.yaml", "/pictures/%00",
    ],
)  # fmt: skip
def test_nothing_else_is_sent_as_a_picture(begin, folder, path):
    play = begin(folder / GATED.name)
    assert ask(play.display.link, path).status == 404


def test_a_picture_that_is_gone_or_another_one_is_one_line_and_the_job_goes_on(begin, folder, tmp_path):
    play = begin(folder / GATED.name, operator="Ada Marsh, Ben Osei")
    to_level(play)
    play.job.close()
    drawing = folder / DRAWING.name
    for change, fault in (
        (lambda: drawing.write_bytes(DRAWING.read_bytes() + b"\n"),
         "The picture level-pin.png is another one than when the job began, and is not shown."),
        (drawing.unlink, "The picture level-pin.png is not there."),
    ):  # fmt: skip
        change()
        again = resume_job(play.journal, "last", Thresholds(), play.now)
        assert {name: (one.address, one.fault) for name, one in again.pictures.items()} == {
            "level-pin.png": ("", fault)
        }
        shown_now = picture(again.session.view(play.now), None, {}, again.pictures)
        assert shown_now["photo"] == {"address": "", "name": "level-pin.png", "fault": fault}
        again.job.close()
