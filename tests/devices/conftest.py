"""The bay without hardware, for every test in this folder."""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.voice.sound.card import SoundCard
from tests.devices.pulse import PulseBay, needed


@pytest.fixture(scope="module")
def pulse() -> Iterator[PulseBay]:
    """Both devices, plugged in; the environment of this process leads to them.

    They end with the module: on their own they take 4 % of a core, and each room and worker would have its own.
    """
    if missing := needed():
        pytest.fail(missing, pytrace=False)
    folder = Path(tempfile.mkdtemp(prefix="bay-"))  # a socket's path must be short: pytest's own folders are not
    with pytest.MonkeyPatch.context() as patch, PulseBay(folder) as bay:
        for name, value in bay.environment.items():
            patch.setenv(name, value)
        if library := sys.modules.get("sounddevice"):  # it was loaded before the devices were there
            library._terminate()
            library._initialize()
        yield bay
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def news() -> list[tuple[str, str]]:
    """What the sound card reported: ("lost" or "back", end)."""
    return []


@pytest.fixture
def card(pulse: PulseBay, news: list[tuple[str, str]]) -> Iterator[SoundCard]:
    """The sound card that finds the devices of the bay."""
    card = SoundCard(
        on_lost=lambda end: news.append(("lost", end.value)), on_back=lambda end: news.append(("back", end.value))
    )
    yield card
    card.close()
