"""A thread that breaks is taken up again, and gives way after the third failure in a minute."""

from __future__ import annotations

import re
import threading
from collections.abc import Callable
from pathlib import Path

import assistant
from assistant.events import Then
from assistant.worker import Failure, Failures, Guard, Worker


class Clock:
    """Seconds that a test turns on."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


def broken(kind: type[Exception] = ValueError) -> Exception:
    try:
        raise kind("boom")
    except kind as fault:
        return fault


def test_three_failures_in_a_minute_give_way_and_slower_ones_never_do() -> None:
    told: list[Failure] = []
    clock = Clock()
    failures = Failures("part", told.append, clock=clock)
    for clock.now in (0.0, 30.0, 60.0):
        failures.note(broken(), Then.OTHER)
    assert [one.then for one in told] == [Then.AGAIN, Then.AGAIN, Then.OTHER]
    told.clear()
    for clock.now in (100.0, 131.0, 162.0, 193.0):  # never three within sixty seconds
        failures.note(broken())
    assert [one.then for one in told] == [Then.AGAIN] * 4


def test_a_failure_names_the_class_and_the_line_and_nothing_that_was_said() -> None:
    told: list[Failure] = []
    ended = threading.Event()

    def work(_go_on: Callable[[], bool]) -> None:
        Failures("x", None).note(broken())  # type: ignore[arg-type] # nothing that can be called is told

    worker = Worker("part", work, on_failure=told.append, on_end=ended.set)
    worker.start()
    assert ended.wait(10)
    assert {(one.part, one.error, one.sentence) for one in told} == {("part", "TypeError", "")}
    assert told[0].at.startswith("worker.py:")


def test_work_that_breaks_is_mended_and_taken_up_again_on_the_same_thread() -> None:
    done = threading.Event()
    story: list[str] = []
    told: list[Failure] = []

    def work(_go_on: Callable[[], bool]) -> None:
        story.append("work")
        if story.count("work") < 3:
            raise ValueError("boom")
        done.set()

    worker = Worker("part", work, on_failure=told.append, mend=lambda: story.append("mend"))
    worker.start()
    assert done.wait(10)
    assert worker.close()
    assert story == ["work", "mend", "work", "mend", "work"]
    assert [one.then for one in told] == [Then.AGAIN, Then.AGAIN]
    assert not worker.gave_up


def test_a_mending_that_breaks_counts_too_and_the_third_ends_it() -> None:
    ended = threading.Event()
    told: list[Failure] = []

    def breaks(*_given: object) -> None:
        raise RuntimeError("boom")

    worker = Worker("part", breaks, on_failure=told.append, mend=breaks, on_end=ended.set)
    worker.start()
    assert ended.wait(10)
    worker.close()
    assert [one.then for one in told] == [Then.AGAIN, Then.AGAIN, Then.ENDED]
    assert worker.gave_up
    assert not worker.is_alive


def test_what_hangs_is_left_alone_and_its_work_goes_on_elsewhere() -> None:
    hangs, let_go, again = threading.Event(), threading.Event(), threading.Event()
    clock = Clock()
    told: list[Failure] = []
    ends: list[bool] = []
    ended = threading.Event()

    def work(go_on: Callable[[], bool]) -> None:
        go_on()
        if not hangs.is_set():
            hangs.set()
            let_go.wait()
            ends.append(go_on())
            ended.set()
            return
        again.set()

    worker = Worker("part", work, on_failure=told.append, clock=clock)
    worker.start()
    assert hangs.wait(10)
    assert worker.silent_s == 0.0
    clock.now = 12.0
    assert worker.silent_s == 12.0
    worker.replace()
    assert again.wait(10)
    assert [one.error for one in told] == ["Stalled"]
    let_go.set()
    worker.close()
    assert ended.wait(10)
    assert ends == [False], "the old thread is told that it has no work any more"


def test_closing_does_not_wait_for_what_hangs() -> None:
    worker = Worker("part", lambda _go_on: threading.Event().wait(), on_failure=lambda _one: None)  # type: ignore[arg-type,return-value]
    worker.start()
    assert not worker.close(timeout_s=0.05)


def test_a_guard_goes_on_and_leaves_alone_what_always_fails() -> None:
    told: list[Failure] = []
    calls: list[int] = []

    def breaks() -> None:
        calls.append(1)
        raise OSError("gone")

    guard = Guard("terminal", told.append)
    for _ in range(5):
        guard(breaks)
    assert len(calls) == 3
    assert [one.then for one in told] == [Then.AGAIN, Then.AGAIN, Then.ENDED]


def test_no_thread_is_started_but_by_a_worker() -> None:
    package = Path(assistant.__file__).parent
    starting = re.compile(r"\b(Thread|Timer|ThreadPoolExecutor|start_new_thread)\(")
    found = {
        path.relative_to(package).as_posix()
        for path in package.rglob("*.py")
        if "threading" in (text := path.read_text("utf-8")) and starting.search(text)
    }
    assert found == {"worker.py"}
