"""The words of sd_notify(3), as a real unix datagram socket gets them: a manager in miniature."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import uuid

import pytest

from assistant.service.notify import Manager


class Listening:
    """The socket of a manager; ``name`` is what it would put into NOTIFY_SOCKET."""

    def __init__(self, address, name):
        self.socket = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
        self.socket.bind(address)
        self.socket.settimeout(5)
        self.name = name

    def next(self):
        return self.socket.recv(4096).decode()

    @property
    def silent(self):
        self.socket.setblocking(False)
        try:
            return self.socket.recv(4096).decode()
        except BlockingIOError:
            return True
        finally:
            self.socket.settimeout(5)


@pytest.fixture(params=["path", "abstract"])
def manager(request, tmp_path):
    if request.param == "path":
        address = name = str(tmp_path / "notify")
    else:
        hidden = f"assistant-test-{uuid.uuid4()}"
        address, name = f"\0{hidden}", f"@{hidden}"
    listening = Listening(address, name)
    yield listening
    listening.socket.close()


def test_ready_status_life_and_end_are_told(manager):
    now = [100.0]
    it = Manager({"NOTIFY_SOCKET": manager.name, "WATCHDOG_USEC": "8000000"}, clock=lambda: now[0])
    it.ready("waiting")
    assert manager.next() == "READY=1\nSTATUS=waiting"
    it.status("waiting")
    assert manager.silent is True
    it.status("a job\nREADY=0")  # a line end must not begin another assignment
    assert manager.next() == "STATUS=a job READY=0"
    for _ in range(50):
        it.beat()
    assert (manager.next(), manager.silent) == ("WATCHDOG=1", True)
    now[0] += 1.9  # a quarter of eight seconds is two: sd_watchdog_enabled(3) asks for half of them at the latest
    it.beat()
    assert manager.silent is True
    now[0] += 0.2
    it.beat()
    assert manager.next() == "WATCHDOG=1"
    it.stopping()
    assert manager.next() == "STOPPING=1"


@pytest.mark.parametrize(
    "environment",
    [{}, {"NOTIFY_SOCKET": ""}, {"NOTIFY_SOCKET": "@"}, {"NOTIFY_SOCKET": "notify"},
     {"NOTIFY_SOCKET": "/nowhere/at/all", "WATCHDOG_USEC": "30000000"},
     {"NOTIFY_SOCKET": "/" + "n" * 500, "WATCHDOG_USEC": "-3"}, {"NOTIFY_SOCKET": "@x", "WATCHDOG_USEC": "9" * 40}],
)  # fmt: skip
def test_where_nobody_listens_nothing_is_sent_and_nothing_breaks(environment):
    it = Manager(environment)
    it.ready("waiting")
    it.beat()
    it.stopping()


def test_no_life_is_told_of_another_process(manager):
    it = Manager({"NOTIFY_SOCKET": manager.name, "WATCHDOG_USEC": "1000", "WATCHDOG_PID": str(os.getpid() + 1)})
    it.beat()
    assert manager.silent is True


def test_a_manager_that_does_not_read_keeps_nobody_waiting(manager):
    it = Manager({"NOTIFY_SOCKET": manager.name, "WATCHDOG_USEC": "4"}, clock=iter(range(10**6)).__next__)
    for _ in range(5000):
        it.beat()
    assert manager.next() == "WATCHDOG=1"


CODE = """
import time
from assistant.service.notify import Manager
it = Manager()
it.ready()
if input() == "live": it.beat()
"""


def test_a_process_finds_its_manager_in_its_environment(manager):
    env = os.environ | {"NOTIFY_SOCKET": manager.name, "WATCHDOG_USEC": "60000000"}
    with subprocess.Popen([sys.executable, "-c", CODE], env=env, stdin=subprocess.PIPE, text=True) as process:
        manager.socket.settimeout(60)
        assert manager.next() == "READY=1"
        process.communicate("live\n", timeout=60)
        assert manager.next() == "WATCHDOG=1"
    assert process.returncode == 0
