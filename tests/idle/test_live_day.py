"""The real command on real sound devices: woken and started by voice, closed; it waits again, and keeps an open job."""

from __future__ import annotations

import json
import re
import shutil
import signal
from pathlib import Path
from typing import Any
from urllib.request import urlopen

import pytest

from assistant.journal.opening import open_journal
from tests.whole_jobs.talks import ROOT
from tests.whole_jobs.workshop import Assistant

pytestmark = [pytest.mark.audio, pytest.mark.timeout(240)]
WAKE = "good morning workshop"


def test_a_bay_is_woken_by_voice_works_and_waits_again(pulse: Any, tmp_path: Path) -> None:
    procedures = tmp_path / "procedures"
    procedures.mkdir()
    shutil.copy(ROOT / "tests/typed/procedures/more-to-know.yaml", procedures)
    words = ("bay", "--wake", WAKE, "--operator", "Kim", "--display-port", "0", "--rate", "250")
    with pulse.recorded() as recording, Assistant(tmp_path, recording, *words) as bay:
        bay.until(lambda: any("The bay waits." in text for text in bay.texts("note")), "the beginning")
        bay.until(lambda: any("Look at http" in text for text in bay.texts("note")), "the page")
        for phrase in (WAKE, "procedures", "number one", "start"):
            bay.tell(pulse, phrase)
        assert bay.texts("said")[:2] == ["Yes?", "One procedure. One: Rim of the practice drum, not approved."]
        for line in ("next", "next", "next", "next", "yes", "finish job", "confirmed"):
            said = len(bay.texts("said"))
            bay.type(line)
            bay.until(lambda: len(bay.texts("said")) > said, f"an answer to {line}")  # noqa: B023
        bay.until(lambda: bay.texts("said")[-1].startswith("The record of Rim"), "the end of the job")
        page = re.search(r"http://\S+", " ".join(bay.texts("note")))
        assert page is not None
        shown = first_picture(page[0])
        assert (shown["mode"], shown["headline"]) == ("idle", "The record of Rim of the practice drum is on the page.")
        with urlopen(page[0].rstrip("/") + shown["idle"]["record"]["address"]) as record:
            assert b"Rim of the practice drum" in record.read()
        for line in ("new job", "number one", "start"):
            said = len(bay.texts("said"))
            bay.type(line)
            bay.until(lambda: len(bay.texts("said")) > said, f"an answer to {line}")  # noqa: B023
        assert bay.end(signal.SIGTERM) == 130
        assert bay.process.stderr.read() == ""
    with open_journal(tmp_path) as journal:
        states = [one.state.value for one in journal.scan()]
        last = journal.read("last").entries[-1]
    assert states == ["open", "closed"]
    assert last.kind == "interrupted"


def first_picture(page: str) -> Any:
    """What the page shows now, as its stream tells it."""
    with urlopen(f"{page.rstrip('/')}/events", timeout=10) as stream:
        for line in stream:
            if line.startswith(b"data:") and b'"mode"' in line:
                return json.loads(line[5:])
    raise AssertionError("no picture came")
