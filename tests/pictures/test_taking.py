"""Photos on their way into a job: from a page over HTTP, from a camera, and what goes wrong on it."""

from __future__ import annotations

import errno
import json
import os
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.events import Source
from assistant.facts.photos import PhotoCame, PhotoFailed, PhotoSource, PhotoTaken
from assistant.faults import Fault
from assistant.journal.opening import open_journal
from assistant.pictures.camera import TEST_PICTURE, Camera, camera_fault
from assistant.pictures.drawing import DrawnPhoto
from assistant.pictures.store import store_of
from assistant.settings import home
from tests.display.play import Play
from tests.display.wire import Answer, ask, raw
from tests.pictures.samples import PHOTOGRAPHED, photo
from tests.pictures.test_store import full_disk

Begin = Callable[..., Play]


@pytest.fixture
def begin(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Begin]:
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    begun: list[Play] = []

    def begin(**options: object) -> Play:
        begun.append(Play(tmp_path, PHOTOGRAPHED, **options))
        return begun[-1]

    yield begin
    for play in begun:
        play.close()


def send(play: Play, data: bytes, **headers: str) -> Answer:
    given = {"origin": play.display.link.rstrip("/"), "content_type": "image/jpeg"} | headers
    return ask(play.display.link, "/photo", "POST", data, **given)


def sent(play: Play, data: bytes) -> Answer:
    """Send a photo, and let the loop take it meanwhile."""
    answers: list[Answer] = []
    sender = threading.Thread(target=lambda: answers.append(send(play, data)))
    sender.start()
    play.take()
    sender.join(10)
    return answers[0]


def facts(play: Play, *classes: type) -> list[object]:
    return [entry.fact for entry in play.job.entries() if isinstance(entry.fact, classes)]


def test_a_photo_of_the_page_is_in_its_file_and_in_the_journal_and_shown_large(begin: Begin) -> None:
    play = begin(touch=True)
    play.say("next")
    answer = sent(play, photo())
    assert (answer.status, json.loads(answer.body)) == (200, {"taken": True, "why": ""})
    (came,), (taken,) = facts(play, PhotoCame), facts(play, PhotoTaken)
    assert isinstance(came, PhotoCame)
    assert isinstance(taken, PhotoTaken)
    assert (came.source, came.width, came.height, taken.number, taken.step) == (
        PhotoSource.PAGE,
        200,
        300,
        1,
        "bolts-out",
    )
    hung = store_of(play.job.id).hung(taken.sha256)
    assert hung is not None
    assert len(hung.data) == came.size
    assert b"Secret" not in hung.data
    assert "Photo one taken at step one." in play.said.getvalue()
    assert ask(play.display.link, hung.address).body == hung.data
    shown = json.loads(play.display.board.newest()[1])["taken"]
    assert (shown["address"], shown["name"]) == (hung.address, "Photo 1, step 1")
    assert sent(play, photo()).status == 200  # the same one twice is one
    assert len(facts(play, PhotoTaken)) == 1


def test_what_is_no_photo_is_refused_and_nothing_of_it_is_kept(begin: Begin) -> None:
    play, good = begin(touch=True), photo()
    assert (
        json.loads(send(play, good[: len(good) // 2]).body)["why"]
        == "The photo is no photo that can be read: take it again."
    )
    assert send(play, b"GIF89a").status == 415
    assert send(play, good, content_type="image/svg+xml").status == 415
    assert send(play, good, origin="http://elsewhere").status == 403
    host = f"host: {play.display.link.split('/')[2]}\r\norigin: {play.display.link.rstrip('/')}"
    head = f"POST /photo HTTP/1.1\r\n{host}\r\ncontent-length: 15000001\r\ncontent-type: image/jpeg\r\n\r\n"
    assert raw(play.display.link, head.encode()).status == 413
    assert ask(play.display.link, "/press", "POST", good, origin=play.display.link.rstrip("/")).status == 413
    assert not store_of(play.job.id).folder.exists()
    assert facts(play, PhotoCame) == []


def test_a_page_that_only_looks_takes_no_photo(begin: Begin) -> None:
    play = begin()
    assert send(play, photo()).status == 403
    assert b'id="snap"' not in ask(play.display.link).body
    play.say("next", "photo")
    play.take()
    assert "There is no camera: name one in the settings" in play.said.getvalue()


def test_who_asks_for_a_photo_is_told_to_press_only_where_no_page_takes_it(begin: Begin) -> None:
    play = begin(touch=True)
    play.say("next")
    answers: list[Answer] = []
    sender = threading.Thread(target=lambda: answers.append(send(play, photo())))
    asked = play.photos.page
    assert asked is not None

    def page_with_a_camera() -> None:
        asked()
        sender.start()

    play.photos.page = page_with_a_camera
    play.say("photo")
    play.take()
    sender.join(10)
    assert answers[0].status == 200
    play.photos.page = asked  # now nobody has a camera on: what is said next is about this one
    play.say("photo")
    play.take(20.0)
    assert play.said.getvalue().count("Press photo on the page.") == 1
    assert play.said.getvalue().index("Photo one taken") < play.said.getvalue().index("Press photo")


def test_a_full_disk_costs_the_photo_and_nothing_else(begin: Begin) -> None:
    play = begin(touch=True)
    play.say("next")
    with full_disk():
        answer = play.photos.take(photo())
    play.take()
    assert (answer.status, answer.sentence) == (
        507,
        "The photo could not be kept: make room on the disk, then take it again.",
    )
    assert answer.sentence in play.said.getvalue()
    assert [one.why.value for one in facts(play, PhotoFailed)] == ["disk"]
    assert facts(play, PhotoCame) == []
    assert sent(play, photo()).status == 200
    play.say("count four")
    assert "Four. Step two." in play.said.getvalue()


def test_the_camera_of_the_bay_takes_what_it_shows(begin: Begin) -> None:
    play = begin(camera=TEST_PICTURE)
    play.say("next", "photo")
    play.take(20.0)
    (came,) = facts(play, PhotoCame)
    assert isinstance(came, PhotoCame)
    assert (came.source, came.width, came.height) == (PhotoSource.CAMERA, 1280, 720)
    assert "Photo one taken at step one." in play.said.getvalue()


def test_a_camera_that_is_gone_is_one_sentence_and_the_screen_names_it(begin: Begin) -> None:
    play = begin(camera="/dev/video77")
    play.say("next", "photo")
    play.take(20.0)
    said = play.said.getvalue()
    assert "The camera does not answer: check its cable, or press photo on the page." in said
    assert "The camera /dev/video77 is not there: put its cable in, or name another in the setting camera" in said
    assert [one.why.value for one in facts(play, PhotoFailed)] == ["camera"]
    assert facts(play, PhotoCame) == []


def test_a_camera_that_hangs_is_left_alone_and_asked_anew(tmp_path: Path) -> None:
    pipe, told = tmp_path / "camera", []
    os.mkfifo(pipe)  # who opens it to read waits for a writer, as for ever as a driver that hangs
    camera = Camera(str(pipe), told.append, answer_s=0.3)
    try:
        found = camera.take()
        assert isinstance(found, Fault)
        assert "it showed nothing within 0.3 seconds" in found.reason
        assert [one.error for one in told] == ["Stalled"]
        camera.device = TEST_PICTURE
        camera.answer_s = 20.0
        assert isinstance(camera.take(), DrawnPhoto)
    finally:
        camera.close()
        os.close(os.open(pipe, os.O_RDWR))  # lets who hangs go on, to the end of it


def test_a_camera_without_leave_to_open_it_names_the_group_that_has_it(tmp_path: Path) -> None:
    device = tmp_path / "video0"
    device.touch(mode=0o600)
    group, am_root = device.group(), os.geteuid() == 0
    camera = Camera(str(device), lambda _failure: None)
    device.chmod(0)
    os.seteuid(65_534 if am_root else os.geteuid())  # root may open anything: nobody, for this moment
    try:
        found = camera.take()
    finally:
        os.seteuid(0 if am_root else os.geteuid())
        camera.close()
    assert isinstance(found, Fault)
    assert found.reason == f"the camera {device} may not be opened by this user"
    assert "or take the photo on the page" in found.advice
    assert group in found.advice or am_root  # nobody may not even look whose it is


@pytest.mark.parametrize(
    ("error", "why"),
    [
        (errno.ENOENT, "is not there"),
        (errno.ENODEV, "is not there"),  # pulled out: as v4l2 answers behind that (kernel docs, from memory)
        (errno.ENXIO, "is not there"),
        (errno.EBUSY, "is in use by another program"),  # VIDIOC_S_FMT while another one streams (V4L2 API)
        (errno.EACCES, "may not be opened by this user"),
        (errno.EPERM, "may not be opened by this user"),
    ],
)
def test_what_the_system_says_of_a_camera_is_one_sentence(error: int, why: str) -> None:
    found = camera_fault("/dev/null", error)
    assert found is not None
    assert found.sentence.startswith(f"the camera /dev/null {why}: ")
    assert found.sentence.endswith(", or take the photo on the page")
    assert camera_fault("/dev/null", errno.EINVAL) is None


def test_who_may_not_open_a_camera_is_told_its_group() -> None:
    found = camera_fault("/dev/null", errno.EACCES)
    assert found is not None
    assert f"sudo usermod -aG {Path('/dev/null').group()} $USER" in found.advice


@pytest.mark.parametrize("device", ["/dev/null", __file__])
def test_what_is_no_camera_is_one_sentence(device: str) -> None:
    camera = Camera(device, lambda _failure: None)
    found = camera.take()
    camera.close()
    assert isinstance(found, Fault)
    assert found.sentence.startswith(f"the camera {device} does not answer (")


def command(*words: str, code: int = 0) -> str:
    result = CliRunner().invoke(app, list(words))
    assert result.exit_code == code, result.output
    return result.output


def test_verify_names_a_photo_that_was_changed_or_is_gone_and_forget_takes_all_along(
    begin: Begin, tmp_path: Path
) -> None:
    play = begin(touch=True, operator="Ada Marsh")
    play.say("next")
    for shade in (0, 40):
        assert sent(play, photo(shade)).status == 200
    play.say("finish job")
    play.say("i stop here", source=Source.KEY)
    play.say("end note", "confirmed")
    name, store = play.job.id, store_of(play.job.id)
    play.close()
    first, second = (one.sha256 for one in facts_of(name))
    assert "Its 2 photos are what the journal tells, by SHA-256." in command("verify", name)
    page = command("record", name, "--html", "-")
    assert page.count("data:image/jpeg;base64,") == 2
    assert first in page
    command("record", name, "--html", str(tmp_path / "r.html"))
    assert "fits the journal" in command("verify", str(tmp_path / "r.html"))
    store.path(first).write_bytes(photo(9))
    assert f"Photo 1 of job {name} was changed: {store.path(first)}." in command("verify", name, code=11)
    store.path(second).unlink()
    assert f"Photo 2 of job {name} is missing" in command("verify", name, code=11)
    assert "THE FILE OF PHOTO 2 IS NOT THERE" in command("record", name, "--html", "-")
    assert "the photos are removed" in command("forget", name, "--yes")
    assert not store.folder.exists()
    assert "Its 2 photos were removed with its personal data." in command("verify", name)


def facts_of(name: str) -> list[PhotoTaken]:
    with open_journal(home(), read_only=True) as journal:
        return [entry.fact for entry in journal.read(name).entries if isinstance(entry.fact, PhotoTaken)]


def test_a_photo_of_the_job_goes_to_the_customer_only_when_it_is_chosen(begin: Begin) -> None:
    play = begin(touch=True)
    play.say("next")
    assert sent(play, photo()).status == 200
    folder = Path(os.environ["ASSISTANT_HOME"]) / "customer"
    assert not folder.exists()
    assert "The photo is on the page" in command("customer", play.job.id, "--photo", "1")
    assert len(list(folder.glob("*/photo-0-*.jpg"))) == 1
    assert "has no photo 2" in CliRunner().invoke(app, ["customer", play.job.id, "--photo", "2"]).output
