"""A data folder of its own for each day."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.devices.conftest import pulse  # noqa: F401 (a fixture)
from tests.display.conftest import network  # noqa: F401 (a fixture)
from tests.whole_jobs.talks import ROOT


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The data folder of the bay."""
    folder = tmp_path / "home"
    monkeypatch.setenv("ASSISTANT_HOME", str(folder))
    return folder


@pytest.fixture
def procedures(tmp_path: Path) -> Path:
    """Two procedures that can be changed: the cover of a gearbox and that of a pump."""
    folder = tmp_path / "procedures"
    folder.mkdir()
    for name in ("gearbox-side-cover", "coolant-pump-cover"):
        shutil.copy(ROOT / "procedures" / f"{name}.yaml", folder)
    return folder
