"""Every typed talk of this folder, through the command, with what must be heard back."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.typed.play import check

TALKS = sorted((Path(__file__).parent / "talks").glob("*.txt"))


@pytest.mark.parametrize("path", TALKS, ids=lambda path: path.stem)
def test_talk(path: Path) -> None:
    check(path)
