"""Looking at records does not slow the job: one at a time, in a process of its own, and kept until the job goes on."""

from __future__ import annotations

import os
import statistics
import threading
import time
from pathlib import Path

import pytest

from assistant.desk import record_page
from tests.display.large import large_job
from tests.display.wire import Answer, ask, raw

pytestmark = pytest.mark.slow

ENTRIES = 3000


def makers() -> dict[int, int]:
    """Return number and niceness of the processes of ours that make records now (proc(5))."""
    found = {}
    for folder in Path("/proc").iterdir():
        try:
            fields = (folder / "stat").read_text("utf-8", "replace").rpartition(") ")[2].split()
            words = (folder / "cmdline").read_bytes().split(b"\0")
        except OSError:
            continue
        if int(fields[1]) == os.getpid() and record_page.__name__.encode() in words:
            found[int(folder.name)] = int(fields[16])
    return found


def peak_mb() -> float:
    return int(Path("/proc/self/status").read_text("ascii").split("VmHWM:")[1].split()[0]) / 1024


def page(link: str, job: str) -> Answer:
    host = link.split("/")[2]
    return raw(link, f"GET /jobs/{job} HTTP/1.1\r\nhost: {host}\r\n\r\n".encode(), 60)


@pytest.mark.timeout(120)
def test_eight_who_look_at_a_large_record_take_one_process_and_the_job_answers(begin, tmp_path):
    names = [large_job(tmp_path, ENTRIES), large_job(tmp_path, 200)]
    play = begin()
    alone, took = [], []
    for _ in range(15):  # while nobody looks
        began = time.perf_counter()
        play.say("where am i")
        alone.append(time.perf_counter() - began)
    before, answers, nice = peak_mb(), [], set()
    looking = [
        threading.Thread(target=lambda name=name: answers.append(page(play.display.link, name)))
        for name in (names[0],) * 6 + (names[1],) * 2
    ]
    for one in looking:
        one.start()
    while any(one.is_alive() for one in looking):
        began = time.perf_counter()
        play.say("where am i")
        took.append(time.perf_counter() - began)
        now = makers()
        assert len(now) <= 1, "one record at a time"
        nice |= set(now.values())
    assert [answer.status for answer in answers] == [200] * 8
    assert record_page.LOWEST in nice
    assert play.display.desk.records.made == 2, "each record was made once"
    assert peak_mb() - before < 30
    median = statistics.median(took)
    print(f"answers while eight look: median {median:.3f} s, longest {max(took):.3f} s")
    # Beside those before it: other work on this machine makes both later.
    assert median < 2 * statistics.median(alone) + 0.1
    assert median < 2.0


def test_a_record_is_kept_until_the_job_goes_on(begin):
    play = begin()
    records = play.display.desk.records
    first = page(play.display.link, play.job.id)
    assert page(play.display.link, play.job.id).body == first.body
    assert records.made == 1
    play.say("next")
    second = page(play.display.link, play.job.id)
    assert records.made == 2
    assert second.body != first.body
    assert second.body.decode().count("“next”") > first.body.decode().count("“next”")


def test_a_record_on_the_page_has_the_workshops_own_text_and_says_when_it_cannot(begin, tmp_path, capsys):
    play = begin()
    assert b"Keep this." not in page(play.display.link, play.job.id).body
    (tmp_path / "wordings.txt").write_text("[record]\nKeep this.\n", "utf-8")
    assert b"Keep this." in page(play.display.link, play.job.id).body
    assert capsys.readouterr().err == ""
    (tmp_path / "wordings.txt").write_text("[record]\nKeep this.\n[record]\n", "utf-8")
    answer = page(play.display.link, play.job.id)
    assert (answer.status, b"Keep this." in answer.body) == (200, False)
    assert "The section [record] is there twice, first in line 1: keep one." in capsys.readouterr().err


def test_what_is_being_made_ends_with_the_display(begin, tmp_path):
    name = large_job(tmp_path, ENTRIES)
    play = begin()
    looking = threading.Thread(target=page, args=(play.display.link, name))
    looking.start()
    while not makers():
        assert looking.is_alive()
    play.display.close()
    looking.join(timeout=20)
    assert not looking.is_alive()
    assert makers() == {}


def test_too_many_who_wait_are_told_to_come_again(begin, tmp_path, monkeypatch):
    from assistant.desk import records

    monkeypatch.setattr(records, "MOST_WAITING", 2)
    name = large_job(tmp_path, ENTRIES)
    play = begin()
    answers: list[Answer] = []
    looking = [threading.Thread(target=lambda: answers.append(page(play.display.link, name))) for _ in range(6)]
    for one in looking:
        one.start()
    for one in looking:
        one.join(timeout=60)
    assert sorted({answer.status for answer in answers}) == [200, 503]
    assert all(b"try again in a minute" in answer.body for answer in answers if answer.status == 503)
    assert ask(play.display.link, f"/jobs/{name}").status == 200  # it is there by now
