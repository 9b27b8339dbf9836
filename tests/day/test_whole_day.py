"""The whole day of a bay, with all that is real: its service, its ears and voice, its page in a browser with a camera.

A day: the service is started with the computer, the microphone comes later; woken and started by voice; killed in the
middle of the job, started again and gone on with by voice; a tool by its label, a photo, another mechanic; closed, its
label printed, and it waits again.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import signal
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, expect

from assistant.journal.opening import open_journal
from assistant.service import install
from assistant.settings import store_settings
from audio_fixtures.make_talks import RATE
from tests.day.service import Service
from tests.devices.pulse import LOUDSPEAKER, MICROPHONE, PulseBay, Recording
from tests.devices.waiting import until
from tests.display.browser import PATIENT_MS, TABLET
from tests.display.engines import free_port
from tests.display.test_scan_on_page import TYPED
from tests.fakes.paper_tray import PaperTray
from tests.journal import independent
from tests.service.manager import Unit
from tests.whole_jobs.talks import ROOT
from tests.whole_jobs.workshop import say

pytestmark = [pytest.mark.audio, pytest.mark.timeout(600)]
WAKE = "good morning workshop"
TITLE = "Lid of the practice stand"
RADIO = ("procedures", "start the job", "the weather will be fine in the morning")
SETTINGS = {
    "operators": "Kim, Lee", "operator": "Kim", "wake": WAKE, "printer": "labels", "rate": 400,
    "microphone": MICROPHONE, "loudspeaker": LOUDSPEAKER,
}  # fmt: skip


class Bay:
    """The computer of the bay: its data folder, its unit, its printer, and the services that ran there."""

    def __init__(self, folder: Path, pulse: PulseBay, recording: Recording, port: int) -> None:
        self.home, self._folder, self._recording = folder / "data", folder, recording
        (self.home / "procedures").mkdir(parents=True)
        shutil.copy(Path(__file__).with_name("practice-lid.yaml"), self.home / "procedures")
        shutil.copy(ROOT / "procedures/tools/practice-bay.yaml", self.home / "tools.yaml")
        store_settings(self.home / "settings.toml", SETTINGS)
        self.tray = PaperTray(folder / "bin")
        install.install(
            install.wanted_here("assistant-bay", ("--display-port", str(port)), folder), force=False, booted=True
        )
        self.unit = Unit((folder / "config/systemd/user/assistant-bay.service").read_text())
        self.link = f"http://127.0.0.1:{port}/"
        self._manager = pulse.environment | {
            "PATH": f"{self.tray.folder}:/usr/local/bin:/usr/bin:/bin", "PYTHONPATH": str(ROOT),
        }  # fmt: skip
        self.services: list[Service] = []

    def start(self) -> Service:
        """Let the manager start the service, and wait until it is ready."""
        self.services.append(Service(self.unit, self._folder, self._manager, self._recording))
        self.services[-1].told("READY=1\nSTATUS=The bay waits")
        return self.services[-1]

    def facts(self, job: str) -> list[tuple[str, dict[str, Any]]]:
        """What the journal has of ``job``, in a second reading of it."""
        return [(kind, data) for _, kind, data in independent.check(self.home, job)]

    def has(self, job: str, kind: str, **fields: object) -> bool:
        """Whether ``job`` has such an entry."""
        return any(one == kind and fields.items() <= data.items() for one, data in self.facts(job))

    def no_job(self) -> bool:
        """Whether nothing was ever begun."""
        with open_journal(self.home, read_only=True) as journal:
            return not list(journal.scan())

    def stop(self) -> None:
        """End what still runs."""
        for service in self.services:
            service.__exit__()


@pytest.fixture
def bay(tmp_path: Path, pulse: PulseBay, monkeypatch: pytest.MonkeyPatch) -> Iterator[Bay]:
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    with pulse.recorded() as recording:
        made = Bay(tmp_path, pulse, recording, free_port())
        yield made
        made.stop()


@pytest.fixture
def screen(browser: Browser) -> Iterator[Page]:
    """The browser of the bay's screen: it has a camera, and complains about nothing on the page."""
    context = browser.new_context(viewport={"width": TABLET[0], "height": TABLET[1]}, has_touch=True)
    page = context.new_page()
    page.set_default_timeout(PATIENT_MS)
    faults: list[str] = []
    page.on("pageerror", lambda fault: faults.append(str(fault)))
    yield page
    context.close()
    assert faults == []


def test_a_whole_day(bay: Bay, pulse: PulseBay, screen: Page) -> None:
    headline = screen.locator("#headline")
    # In the morning the computer is switched on; the microphone comes late.
    pulse.unplug_microphone()
    try:
        first = bay.start()
        first.noted("The microphone is gone")
    finally:
        pulse.plug_in_microphone()
    first.noted("The microphone is back")
    first.told("WATCHDOG=1")
    screen.goto(bay.link)
    expect(headline).to_have_text(f"Say: {WAKE}")

    # A radio talks, and nothing begins; then somebody means the bay.
    for words in RADIO:
        say(pulse, words).wait()
    pulse.speak(np.zeros(2 * RATE, np.int16), RATE).wait()
    first.ask(pulse, WAKE, "Yes?")
    assert first.texts("said")[0] == "Yes?"
    assert bay.no_job()
    first.ask(pulse, "procedures", f"One: {TITLE}", behind=WAKE)
    first.ask(pulse, "stand", "Say start.")
    first.ask(pulse, "start", "People needed: one mechanic.")
    job = first.job
    first.told(f"Job {job} is at work")
    expect(headline).to_have_text("People needed")
    first.ask(pulse, "next", "Step one of three. Are all lid bolts in by hand?")
    first.ask(pulse, "yes", "Step two. Tighten the lid. Use the small wrench.")
    before = bay.facts(job)
    assert bay.has(job, "check_answered", step="bolts-in", yes=True)

    # It is killed in the middle of the job, and started again.
    assert bay.unit.starts_again(first.kill())
    second = bay.start()
    expect(headline).to_have_text(f"Say: {WAKE}")
    expect(screen.locator("#idle-jobs li")).to_have_text(f"{TITLE}open at step two, operator Kim")
    second.ask(pulse, WAKE, "Yes?")
    second.ask(pulse, "open jobs", f"One: {TITLE}", behind=WAKE)
    second.ask(pulse, "resume", "Step two of three")
    assert bay.facts(job)[: len(before)] == before
    assert bay.has(job, "resumed")

    # The label of another wrench, by a reader at the page; then the bolts are tight.
    screen.evaluate(TYPED.replace("AFTER", "5"), [*"TOOL large-wrench", "Enter"])
    second.until(lambda: bay.has(job, "scanned", what="tool"), "the label of the tool")
    second.until(lambda: any("Use the large wrench." in text for text in second.texts("said")), "the wrench")
    second.quiet()
    second.ask(pulse, "next", "Step three. Wipe the lid. It needs a photo.")
    assert bay.has(job, "tightened", tool="large-wrench", bolts=[1, 2, 3, 4])

    # A photo, by the camera of the page.
    screen.locator("#menu summary").click()
    screen.locator("#page-camera").click()
    until(lambda: screen.locator("#viewfinder").evaluate("one => one.videoWidth > 0"), "the camera of the page", 60)
    second.ask(pulse, "photo", "Photo one taken at step three.")
    hashes = [data["sha256"] for kind, data in bay.facts(job) if kind == "photo_taken"]
    assert {hashlib.sha256(file.read_bytes()).hexdigest() for file in (bay.home / "photos" / job).iterdir()} >= {
        *hashes
    }
    assert bay.has(job, "photo_came", source="page", sha256=hashes[0])
    screen.locator("#page-camera").click()

    # Lee takes over, and closes the job.
    second.ask(pulse, "hand over", "Hand the job over? Say confirmed.")
    second.ask(pulse, "confirmed", "Lee. If you take over, say take over.", behind="hand over")
    second.ask(pulse, "take over", "You take over from Kim.")
    assert bay.has(job, "handed_over", left_by="Kim", taken_by="Lee")
    second.notify.told.clear()
    second.ask(pulse, "next", "Are all the tools back in their places?")
    second.ask(pulse, "yes", "finish job")
    second.ask(pulse, "finish job", "Say confirmed.")
    second.ask(pulse, "confirmed", f"The record of {TITLE} is on the page.", behind="finish job")
    assert bay.facts(job)[-1][0] == "closed"
    second.until(lambda: bool(bay.tray.pages), "the label")
    assert bay.tray.pages[f"label {job} on labels"].startswith(b"%PDF")
    expect(headline).to_have_text(f"The record of {TITLE} is on the page.")
    screen.get_by_role("link", name="Record of job").click()
    expect(screen.locator("body")).to_have_text(re.compile(r"Kim.*Lee", re.DOTALL))

    # It waits again; the record fits together; in the evening the computer is shut down.
    second.told("STATUS=The bay waits")
    second.ask(pulse, WAKE, "Yes?")
    verify = [bay.unit.command[0], "verify", job]
    done = subprocess.run(verify, capture_output=True, text=True, env=os.environ, check=False)
    assert (done.returncode, done.stderr) == (0, ""), done.stdout
    assert re.search(r"Its (\d+ )?photos? (is|are) what the journal tells", done.stdout)
    second.process.send_signal(signal.SIGTERM)
    assert second.end() == 0
    second.told("STOPPING=1")
    for service in bay.services:
        assert service.process.stderr.read() == ""
