"""A live bay with a job that was just begun."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.bay.live import LiveBay


@pytest.fixture
def live(tmp_path: Path) -> Iterator[LiveBay]:
    bay = LiveBay(tmp_path)
    bay.open()
    yield bay
    bay.close()
