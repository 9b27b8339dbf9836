"""A workshop to try out, as `make shop` begins it: a server of its own, an office, two bays; and their end."""

import contextlib
import os
import re
import signal
import socket
import subprocess
import sys
import tempfile
import urllib.request
from pathlib import Path

import pytest

from assistant.service.shop.cluster import PORTS, Cluster, shop_folder
from assistant.service.shop.keeping import left_behind
from assistant.terminal.exits import Refusal
from tests.jobs import SHORTEST

ROOT = Path(__file__).parents[2]
TIMEOUT_S = 110


def assistant(*words, **around):
    return subprocess.run(
        [sys.executable, "-m", "assistant", *map(str, words)], cwd=ROOT, env={**os.environ, **around},
        capture_output=True, text=True, stdin=subprocess.DEVNULL, timeout=TIMEOUT_S,
    )  # fmt: skip


class Trying:
    """`assistant workshop try` in a folder, read line by line."""

    def __init__(self, folder):
        self.folder, self.lines = folder, []
        self.process = subprocess.Popen(
            [sys.executable, "-u", "-m", "assistant", "workshop", "try", folder, "--display-port", "0"],
            cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        )  # fmt: skip

    def until(self, words):
        """Return the line that has ``words``; what never comes is a failure at the end of the output."""
        for line in self.process.stdout:
            self.lines.append(line)
            if words in line:
                return line
        raise AssertionError("".join(self.lines))

    def told_by(self, log, pattern):
        """Return what a program wrote; the sender and the office write when they have something to say."""
        for _ in range(600):
            with contextlib.suppress(FileNotFoundError):
                if found := re.search(pattern, (self.folder / log).read_text()):
                    return found[1]
            with contextlib.suppress(subprocess.TimeoutExpired):
                self.process.wait(0.1)
        raise AssertionError(pattern)


@pytest.fixture
def folder(tmp_path_factory):
    """A folder that everybody may enter, as the server is another user's where root tests."""
    with tempfile.TemporaryDirectory(prefix="try-shop-") as name:
        Path(name).chmod(0o755)
        folder = Path(name) / "shop"
        yield folder
        if folder.exists():
            assistant("workshop", "stop", folder)


@pytest.mark.timeout(240)
@pytest.mark.slow
def test_a_workshop_begins_goes_on_and_ends_with_all_that_belongs_to_it(folder):
    trying = Trying(folder)
    address = re.search('"(host=.*)"', trying.until("workshop bays"))[1]
    office = trying.told_by("the-office.log", r"Look at (http\S+)")
    typed = ROOT / "tests" / "typed" / "talks" / "a-whole-job.txt"
    done = assistant("rehearse", SHORTEST, "--typed", typed, ASSISTANT_HOME=str(folder / "bay1"))
    assert done.returncode == 0, done.stderr
    assert assistant("send", ASSISTANT_HOME=str(folder / "bay1")).returncode == 0
    with urllib.request.urlopen(office) as page:
        assert "Jobs" in page.read().decode()
    asked = ("--at", address, "--password-file", folder / "admin.token")
    bays = assistant("workshop", "bays", *asked).stdout
    assert [line.split()[0] for line in bays.splitlines()] == ["name", "bay1", "bay2", "office"]
    proof = assistant("workshop", "prove", "last", "--copy", folder / "bay1", *asked)
    assert "is the same, entry by entry" in proof.stdout, proof.stderr
    secrets = [path.read_text().strip() for path in (folder / "admin.token", *folder.glob("*/central.token"))]
    assert len(secrets) == 4
    running = b"".join((Path("/proc") / str(pid) / "cmdline").read_bytes() for pid in left_behind(str(folder)))
    assert b"serve" in running
    logs = "".join(path.read_text("utf-8", "replace") for path in [*folder.rglob("*.log"), folder / "pg" / "log"])
    assert [word for word in secrets if word in logs or word.encode() in running] == []
    assert "at work already" in assistant("workshop", "try", folder).stderr

    trying.process.send_signal(signal.SIGINT)
    trying.until("All of it is stopped")
    assert trying.process.wait(TIMEOUT_S) == 0
    assert list(left_behind(str(folder))) == []
    assert not Cluster(folder.resolve()).runs()

    again = Trying(folder)
    again.until("is at work")
    again.process.kill()
    again.process.wait()
    assert Cluster(folder.resolve()).runs(), "what was killed leaves its programs behind"
    stopped = assistant("workshop", "stop", folder)
    assert "Nothing of the workshop" in stopped.stdout, stopped.stderr
    assert not Cluster(folder.resolve()).runs()
    assert list(left_behind(str(folder))) == []


def test_a_folder_with_something_else_in_it_is_left_alone(tmp_path):
    (tmp_path / "theirs").write_text("x")
    with pytest.raises(Refusal, match="something else in it"):
        shop_folder(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["theirs"]
    assert "There is no workshop to try out" in assistant("workshop", "stop", tmp_path).stderr


def test_a_port_that_another_server_has_is_not_taken(server, folder):
    """The server of the tests listens on a port of its own; one of ours that is taken is passed over."""
    made = Cluster(shop_folder(folder))
    made.make()
    with contextlib.ExitStack() as stack:
        held = stack.enter_context(socket.socket())
        held.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            held.bind(("127.0.0.1", PORTS[0]))
            held.listen()
        except OSError:
            pass  # somebody has it already
        place = made.start()
        try:
            assert place.port in PORTS
            assert place.port not in (PORTS[0], server.port, 5432)
        finally:
            made.stop()
    assert not made.runs()
    assert made.token.stat().st_mode & 0o077 == 0
