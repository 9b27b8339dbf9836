"""Settings for every test, and what is left out in the daily loop (`make quick`). One browser for all.

hypothesis may take its time, since CI machines are slow and shared. What works in real time begins first, in a worker
of its own: it mostly waits, and the others have the processor meanwhile.
"""

from __future__ import annotations

import gc
import os
import time
from collections.abc import Generator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from tests.standstill import stood_still, watch

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # numpy's threads, which wait in a loop, take turns with the tests

gc.disable()  # until all tests are found: what is loaded before is there for all of the run

settings.register_profile("patient", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("patient")

TESTS = Path(__file__).parent
SLOW_ROOMS = {"devices", "installing", "models", "whole_jobs"}
"""All of their tests are slow: they work with devices in real time, or with programs that are built first."""
_NICE = 10
"""How much later than what works in real time the other tests get the processor."""
NEEDS = {"pulse": "audio", "browser": "browser", "shop": "database"}
"""Whoever takes this fixture has this mark."""
ROOMS_IN_TIME = {"central", "day", "devices", "display", "idle", "office", "phone", "service"}
"""Their tests wait for programs, pages and lines, some with a limit of time that a busy computer passes by chance."""
_AGAIN, _AGAIN_AFTER_S = 2, 15
"""How often a test in real time is begun again where the computer stood still, and after how long [s]; where it did
not, it is begun again once. CI prints each."""
_BEGAN = pytest.StashKey[float]()


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark each test with what it needs, and let those that work in real time begin first."""
    for item in items:
        room = item.path.relative_to(TESTS).parts[0]
        needed = [fixture for fixture in NEEDS if fixture in getattr(item, "fixturenames", ())]
        for mark in [*(["slow"] if room in SLOW_ROOMS else []), *(NEEDS[fixture] for fixture in needed)]:
            item.add_marker(mark)
        if "pulse" in needed or "browser" in needed or room in ROOMS_IN_TIME:
            item.add_marker(_again(item))
        if item.get_closest_marker("xdist_group") is None and (group := _group(room, needed, item.path.stem)):
            item.add_marker(pytest.mark.xdist_group(group))
    items.sort(key=_begins)


def _again(item: pytest.Item) -> pytest.MarkDecorator:
    """Return the mark that begins ``item`` again when it failed for the first time, or this computer stood still."""

    def may_be_chance() -> bool:
        return item.execution_count == 1 or (_BEGAN in item.stash and bool(stood_still(item.stash[_BEGAN])))

    return pytest.mark.flaky(reruns=_AGAIN, reruns_delay=_AGAIN_AFTER_S, condition=may_be_chance)


def _group(room: str, needed: list[str], module: str) -> str:
    """Return what shares one worker: two rows of tests in real time, all with the browser, each room with a store.

    A test in two groups would be in a third one. A module of whole jobs is one: or each worker plays the same talk.
    """
    if "pulse" in needed:
        return "whole jobs in real time" if room == "whole_jobs" else "real time"
    if "browser" in needed:
        return "browser"
    if "shop" in needed:
        return f"shop {room}"
    return module if room == "whole_jobs" else ""


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    """Let what works in real time have the processor first, where a priority may be taken back (by root)."""
    in_real_time = "pulse" in getattr(item, "fixturenames", ())
    if os.geteuid() == 0:
        os.setpriority(os.PRIO_PROCESS, 0, 0 if in_real_time else _NICE)
    if in_real_time:
        watch()
        item.stash[_BEGAN] = time.monotonic()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Tell a test in real time as skipped, with the reason, where the computer stood still each time that it failed."""
    report = yield
    is_last = _BEGAN in item.stash and getattr(item, "execution_count", 1) > _AGAIN
    if report.failed and is_last and (reason := stood_still(item.stash[_BEGAN])):
        report.outcome, report.longrepr = "skipped", (str(item.path), None, f"Skipped: {reason}")
    return report


def pytest_collection_finish(session: pytest.Session) -> None:
    """Search for garbage less often, and not in what is there for all of the run: 7 % of the time of most tests.

    Raises:
        UsageError: groups are marked and not told to pytest-xdist, by names that its scheduler reads. Then each worker
            would have its own browsers, sound and database servers, and play each long talk.
    """
    if getattr(session.config.option, "loadgroup", False):
        grouped = [item for item in session.items if item.get_closest_marker("xdist_group")]
        if any("@" not in item.nodeid.rsplit("]", 1)[-1] for item in grouped):
            raise pytest.UsageError("this pytest and this pytest-xdist do not work together: its groups have no effect")
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 20, 100)
    gc.enable()


def _begins(item: pytest.Item) -> int:
    """Return 0 for what begins first."""
    return 0 if "pulse" in getattr(item, "fixturenames", ()) else 1


@pytest.fixture(scope="session")
def browser():
    """Debian's Chromium; one for the whole run, since Playwright allows no second one beside it."""
    from tests.display.browser import chromium

    with chromium() as started:
        yield started


@pytest.fixture(scope="session")
def server():
    """A PostgreSQL of the tests' own; one for each worker that needs it."""
    from tests.central.server import QUICK, Server

    server = Server(None, *QUICK)
    try:
        server.shop_template()
        yield server
    finally:
        server.remove()


@pytest.fixture
def shop(server):
    """An empty central store, with a database of its own."""
    from tests.central.server import Shop

    shop = Shop(server)
    yield shop
    shop.remove()
