"""What was answered is on disk: through kill -9 at any moment, and, as far as system calls can show, a pulled plug."""

import contextlib
import os
import random
import re
import select
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assistant.facts.steps import StepDone
from assistant.journal.sqlite.store import SqliteJournal
from tests.jobs import bare, heard
from tests.journal import independent
from tests.journal.conftest import GOOD, NOON

pytestmark = pytest.mark.slow

MOMENTS = 200
EACH = 20
"""Kills in one job."""


def work(path, name, out):
    """Be a job that keeps things as fast as it can, and "speaks" (writes a line) after each commit."""
    job = SqliteJournal(path).hold(name, NOON)
    for number in range(len(job.entries()), 1_000_000):
        job.append([heard(), StepDone(step=f"s{number}")], NOON + number)
        os.write(out, f"{number}\n".encode())


def killed_at(path, name, after_s):
    """Start the work in a process, kill it ``after_s`` seconds after its first word, and return all that it said."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        with contextlib.suppress(BaseException):
            work(path, name, write)
        os._exit(1)
    os.close(write)
    said = os.read(read, 4096)
    until = time.monotonic() + after_s
    while (left := until - time.monotonic()) > 0 and select.select([read], [], [], left)[0]:
        said += os.read(read, 4096)
    os.kill(child, signal.SIGKILL)
    assert os.waitpid(child, 0)[1] == signal.SIGKILL, "the worker ended by itself"
    while more := os.read(read, 4096):
        said += more
    os.close(read)
    return [int(line) for line in said.decode().splitlines()]


def test_kill_9_at_200_random_moments_loses_nothing_that_was_answered(path):
    chance = random.Random(7)
    mid_commit = 0
    for moment in range(3 * MOMENTS):
        if moment >= MOMENTS and mid_commit > MOMENTS / 10:
            break  # on a machine that is busy with other things, fewer kills strike a commit
        if moment % EACH == 0:  # a long job takes long to be read and checked, and none of that is looked for here
            journal = SqliteJournal(path)
            job = journal.create([bare("Practice")], NOON)
            job.close()
            journal.close()
            answered = set()
        said = killed_at(path, job.id, chance.uniform(0, 0.02))  # one or two commits: any moment of one is struck
        answered.update(said)
        with Path(f"{path}-journal").open("rb") as rollback:
            mid_commit += any(rollback.read(8))  # not zeroed: the kill struck between the first write and the commit
        again = SqliteJournal(path, read_only=moment % 2 == 0)  # as `assistant show` does, and as `assistant resume`
        assert again.verify(job.id).good
        again.close()
        kept = [int(data["step"][1:]) for _, kind, data in independent.check(path, job.id) if kind == "step_done"]
        assert answered <= set(kept)
        assert len(kept) == len(set(kept))
    assert mid_commit > MOMENTS / 10, "too few kills struck a commit for this test to show anything"
    again = SqliteJournal(path)
    assert all(again.verify(one.id).good for one in again.scan())
    again.hold(job.id, NOON).append(GOOD, NOON)
    assert independent.check(path, job.id)[-1][1] == "step_done"
    again.close()


ONE_APPEND = """
import os, sys
from pathlib import Path
from assistant.journal.sqlite.store import SqliteJournal
from tests.jobs import bare, note
job = SqliteJournal(Path(sys.argv[1])).create([bare()], 1)
for number in range(3):
    job.append([note("x")], 2)
    os.write(2, b"answered\\n")
"""


@pytest.mark.skipif(shutil.which("strace") is None, reason="strace is not installed: apt-get install strace")
def test_every_answer_comes_after_the_sync_of_all_that_was_written(path, tmp_path):
    """A pulled plug keeps what was synced and nothing else.

    So each change of the store (a write, or a file cut or removed) must be followed by a sync of that very file (or its
    folder) before the answer.
    """
    trace = tmp_path / "trace"
    calls = "openat,close,write,pwrite64,ftruncate,unlink,rename,fsync,fdatasync"
    command = ["strace", "-f", "-y", "-e", f"trace={calls}", "-o", trace, sys.executable, "-c", ONE_APPEND, path]
    subprocess.run(command, check=True, capture_output=True)
    unsynced, answers = set(), 0
    for line in trace.read_text(errors="replace").splitlines():
        if '"answered' in line:  # what is written, and no name of a file
            answers += 1
            assert not unsynced, f"spoken before it was on disk: {unsynced}"
        elif match := re.search(r"(pwrite64|ftruncate)\(\d+<([^>]*journal\.sqlite[^>]*)>", line):
            unsynced.add(match[2])
        elif (match := re.search(r'unlink\("([^"]*journal\.sqlite[^"]*)"', line)) and ".lock" not in match[1]:
            unsynced.add(str(path.parent))
        elif match := re.search(r"(?:fsync|fdatasync)\(\d+<([^>]*)>", line):
            unsynced.discard(match[1])
    assert answers == 3
