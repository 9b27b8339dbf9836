"""A whole recorded talk, looked at on the page at every step; and the page over a kill and a resume."""

import os
import re
import signal
import socket

import pytest
import yaml

from assistant.desk.display import Display
from assistant.desk.options import DisplayOptions
from assistant.rehearsal.options import RehearseOptions
from assistant.rehearsal.rehearse import rehearse_on
from assistant.terminal.exits import Exit
from tests.display.browser import TABLET, shows
from tests.whole_jobs.expected import numbers, target
from tests.whole_jobs.talks import ROOT
from tests.whole_jobs.workshop import Assistant

pytestmark = [pytest.mark.audio, pytest.mark.timeout(180)]
PROCEDURE = ROOT / "procedures" / "coolant-pump-cover.yaml"
TALK = ROOT / "audio_fixtures" / "coolant-pump-cover.flac"
SEEN = """() => {
  const found = {};
  for (const element of document.querySelectorAll('[id]'))
    if (element.getClientRects().length) found[element.id] = element.textContent.trim();
  found.mode = document.getElementById('main').dataset.mode;
  found.marks = [...document.querySelectorAll('#map g')].map(
    g => [parseInt(g.querySelector('title').textContent), g.getAttribute('class')]);
  return found;
}"""


class Onlooker:
    """A screen for the session that shows every view on the real page, and looks at the page before the job goes on."""

    def __init__(self, board, page) -> None:
        self._board, self._page = board, page
        self.seen: list[dict] = []

    def begin(self, procedure, pictures) -> None:
        self._board.begin(procedure, pictures)

    def notice(self, text, *, trouble=True) -> None:
        self._board.notice(text, trouble=trouble)

    def listen_to(self, ear) -> None:
        self._board.listen_to(ear)

    def show(self, view) -> None:
        self._board.show(view)
        shows(self._page, self._board.seq)
        self.seen.append(self._page.evaluate(SEEN))


def expected_bolts(file: dict) -> list[tuple]:
    """Return (step, stage of stages, group, value, unit, bolts) of every run of the file, read without our reader."""
    groups = {group["id"]: group["name"] for group in file["groups"]}
    found = []
    for part in file["chapters"]:
        for step in part["steps"]:
            for number, stage in enumerate(step.get("stages", []), 1):
                for run in stage["runs"]:
                    aim = target(run, stage)
                    place = f"Stage {number} of {len(step['stages'])}"
                    found.append((place, groups[run["group"]], aim["value"], aim["unit"], numbers(run["bolts"])))
    return found


def test_a_whole_recorded_talk_is_seen_step_by_step(browser, tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    display = Display(DisplayOptions("", 0), procedures=PROCEDURE.parent)
    with browser.new_page(viewport=dict(zip(("width", "height"), TABLET, strict=True))) as page:
        page.goto(display.link)
        onlooker = Onlooker(display.board, page)
        code = rehearse_on(PROCEDURE, RehearseOptions(audio_in=TALK), onlooker)
        display.close()
    assert code is Exit.OK
    seen = onlooker.seen
    file = yaml.safe_load(PROCEDURE.read_text("utf-8"))

    # Every hazard takes the page over, with its words, in the order of the file, and nothing of the step beside it.
    steps = [step for part in file["chapters"] for step in part["steps"]]
    hazards = [*file["preliminary"]["safety"], *(hazard for step in steps for hazard in step.get("hazards", []))]
    shown = list(dict.fromkeys((one["word-text"], one["danger"]) for one in seen if one["mode"] == "hazard"))
    assert shown == [
        (word.upper(), hazard[word])
        for hazard in hazards
        for word in ("danger", "warning", "caution", "notice")
        if word in hazard
    ]
    assert all("headline" not in one and "number" not in one for one in seen if one["mode"] == "hazard")

    # Every step stood on the page under its number, and the last thing is the closed job.
    kinds = ("do", "check", "count", "wait", "fit", "tighten")
    texts = [next(step[kind] for kind in kinds if kind in step) for step in steps]
    places = dict.fromkeys(
        (one["place"], one["headline"]) for one in seen if "headline" in one and one["mode"] == "work"
    )
    for number, text in enumerate(texts, 1):
        assert (f"Step {number} of {len(texts)}", text) in places
    assert (seen[-1]["mode"], seen[-1]["headline"]) == ("closed", "The job is closed.")
    steps, closing = len(texts), len(file["closing"])
    assert seen[-1]["progress-text"] == f"{steps} of {steps} steps and {closing} of {closing} closing steps done"

    # Every run of every stage: group, value, unit, stage and bolts, as the file says them.
    tightening = [one for one in seen if one["mode"] == "work" and "stage" in one and "number" in one]
    shown_runs = [(one["stage"], one["group-name"], one["number"], one["unit"], one["now"]) for one in tightening]
    runs = expected_bolts(file)
    for stage, group, value, unit, bolts in runs:
        now = f"Bolt{'s' if len(bolts) > 1 else ''} {', '.join(map(str, bolts))}"
        alone = {f"Bolt {bolt}" for bolt in bolts}
        there = {text for *place, text in shown_runs if place == [stage, group, value, unit]}
        assert now in there or alone <= there, (stage, group, value, unit, bolts, shown_runs)

    # The map: what was done before in the stage is done, what is meant is now, the rest is to do.
    for one in tightening:
        order = [bolt for stage, _, _, _, bolts in runs if stage == one["stage"] for bolt in bolts]
        now = [int(number) for number in re.findall(r"\d+", one["now"])]
        first = order.index(now[0])
        state = dict.fromkeys(order[:first], "done") | dict.fromkeys(order[first:], "to-do")
        state |= dict.fromkeys(now, "now")
        hidden = {hidden["bolt"] for group in file["groups"] for hidden in group.get("hidden", ())}
        covered = {bolt: f"{how} covered" if bolt in hidden else how for bolt, how in state.items()}
        assert dict(map(tuple, one["marks"])) == covered, one

    # The reading's limits, and the timer: large while it is waited for, from its length down, then over.
    assert ("0.05 to 0.15", "mm") in {(one.get("number"), one.get("unit")) for one in seen}
    clocks = [one["clock"] for one in seen if "clock" in one]
    assert clocks[0] in ("0:30", "0:29")
    assert clocks[-1] == "over"
    # What was heard last, and that it was understood.
    assert {(one["heard-text"], one["verdict"]) for one in seen} >= {
        ("“count four”", "✓ understood"),
        ("“what value”", "✓ understood"),
    }


def test_the_page_comes_back_by_itself_after_a_kill_and_a_resume(browser, pulse, tmp_path):
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = str(probe.getsockname()[1])
    options = ("--display", "--display-port", port, "--rate", "250")
    (tmp_path / "settings.toml").write_text('camera = "test"\n', "utf-8")  # a picture that FFmpeg draws
    with pulse.recorded() as recording, browser.new_page() as page:
        with Assistant(tmp_path, recording, "run", str(PROCEDURE), *options) as first:
            first.until(lambda: any("Look at" in text for text in first.texts("note")), "the link")
            page.goto(f"http://127.0.0.1:{port}/")
            page.wait_for_selector("#headline:has-text('Before you start')")
            for _ in range(2):
                first.type("next")
            page.wait_for_selector("#headline:has-text('Have at hand')")
            assert page.inner_text("#ear-text") in ("listening", "closed", "hearing you")
            assert page.inner_text("#stale") == ""
            first.type("photo")
            first.until(lambda: any("Photo one taken." in text for text in first.texts("said")), "the photo")
            page.wait_for_selector("#taken-name:has-text('Photo 1')")
            (photo,) = (tmp_path / "photos").glob("*/*.jpg")
            (photo.parent / f"{'0' * 64}.jpg").write_bytes(b"of a crash")
            os.kill(first.process.pid, signal.SIGKILL)
            page.wait_for_selector("#stale:has-text('NOT UPDATING')")
            assert page.inner_text("#headline") == "Have at hand"  # what was last known, and marked as such
            page.wait_for_selector("#stale:has-text(' seconds')")  # of how many, it tells one after the other
        with Assistant(tmp_path, recording, "resume", *options) as second:
            page.wait_for_function("() => document.body.dataset.stale === 'false'", timeout=30_000)
            page.wait_for_selector("#headline:has-text('Have at hand')")
            second.type("next")
            page.wait_for_function("() => document.getElementById('things').textContent.includes('angle gauge')")
            assert page.inner_text("#stale") == ""
            assert list(photo.parent.iterdir()) == [photo]  # what the journal never had is swept away
            assert second.end(signal.SIGTERM) == 130
