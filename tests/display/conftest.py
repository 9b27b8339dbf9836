"""A data folder for each page."""

from __future__ import annotations

import socket
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.display.browser import PATIENT_MS, WALL, shows
from tests.display.play import SHORT, Play


@pytest.fixture
def begin(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[..., Play]]:
    """Begin a job with a page; everything is closed at the end."""
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    begun: list[Play] = []

    def begin(procedure: Path = SHORT, **options: object) -> Play:
        begun.append(Play(tmp_path, procedure, **options))
        return begun[-1]

    yield begin
    for play in begun:
        play.close()


@pytest.fixture
def look(browser):
    """Open a page, and fail at the end when the browser complained about anything."""
    contexts, complaints = [], []

    def look(play, size=WALL, path="", *, ends=False, **options):
        width, height = size
        contexts.append(browser.new_context(viewport={"width": width, "height": height}, **options))
        page = contexts[-1].new_page()
        page.set_default_timeout(PATIENT_MS)
        if not ends:  # where the server ends, the browser says that it cannot reach it
            page.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda fault: complaints.append(str(fault)))
        page.goto(play.display.link + path)
        if not path or path.startswith("?"):
            shows(page, play.seq)
        return page

    yield look
    for context in contexts:
        context.close()
    assert complaints == []


@pytest.fixture
def network():
    """An address of this machine that is not the loopback one, as in a shop's network."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # documentation address (RFC 5737); nothing is sent
        except OSError:
            pytest.skip("this machine is in no network at all")
        return probe.getsockname()[0]
