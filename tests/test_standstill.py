"""A computer that stood still is told; what fails on it in real time begins again, and is left out at last."""

from __future__ import annotations

import signal
import time
from pathlib import Path

import pytest

from tests.devices.waiting import until
from tests.standstill import Watch

ROOT = Path(__file__).parents[1]
_TEST = """
import pytest
from tests.standstill import watch

@pytest.fixture
def pulse():
    watch().still_s = lambda since: {still}

def test_in_real_time(pulse):
    print("be" "gun")
    assert {right}
"""


def test_a_watch_that_gets_no_processor_tells_for_how_long() -> None:
    watch = Watch()
    try:
        until(watch.has_begun, "the watch to begin", 10)
        began = time.monotonic()
        assert watch.still_s(began) == 0.0
        watch.process.send_signal(signal.SIGSTOP)
        until(lambda: time.monotonic() - began > 1.0, "a second without processor")
        watch.process.send_signal(signal.SIGCONT)
        until(lambda: watch.still_s(began) > 0, "the watch to tell it", 5)
        assert 0.5 < watch.still_s(began) < time.monotonic() - began
        assert watch.still_s(time.monotonic()) == 0.0
    finally:
        watch.stop()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("still", "right", "outcomes", "begun"),
    [
        (0.0, True, {"passed": 1}, 1),
        (9.0, True, {"passed": 1}, 1),
        (0.0, False, {"rerun": 1, "failed": 1}, 2),
        (9.0, False, {"rerun": 2, "skipped": 1}, 3),
    ],
    ids=["right", "right and still", "wrong", "wrong and still"],
)
def test_what_fails_in_real_time_begins_again_once_and_twice_on_a_computer_that_stood_still(
    pytester: pytest.Pytester, monkeypatch: pytest.MonkeyPatch,
    still: float, right: bool, outcomes: dict[str, int], begun: int,
) -> None:  # fmt: skip
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    room = pytester.path / "room"
    room.mkdir()
    conftest = (ROOT / "tests" / "conftest.py").read_text().replace("_AGAIN_AFTER_S = 2, 15", "_AGAIN_AFTER_S = 2, 0")
    (room / "conftest.py").write_text(conftest)
    (room / "test_one.py").write_text(_TEST.format(still=still, right=right))
    (pytester.path / "pytest.ini").write_text("[pytest]\nmarkers =\n    audio: a\n    slow: a\n    browser: a\n")
    result = pytester.runpytest_subprocess("-p", "no:cacheprovider", "-rsR", "-s", "--import-mode=importlib", "room")
    found = result.parseoutcomes()
    assert {name: found.get(name, 0) for name in outcomes} == outcomes
    assert result.stdout.str().count("begun") == begun
    assert ("this computer stood still for 9.0 of" in result.stdout.str()) is ("skipped" in outcomes)
