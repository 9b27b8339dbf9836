"""The office as a program: it says where to look, holds many who look, hides its token, and ends by Control-C."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from contextlib import ExitStack, closing

import pytest

from tests.display.wire import Watcher, ask
from tests.jobs import ROOT, SHORTEST, work
from tests.office.test_pages import until
from tests.pressing import as_from_a_terminal, press_control_c

ON = {**os.environ, "PYTHONPATH": str(ROOT)}


@pytest.mark.slow
@pytest.mark.timeout(120)
def test_the_command_serves_until_control_c_with_its_token_in_no_list_of_processes(workshop):
    name = work(workshop.bay("bay1"), SHORTEST)
    command = [
        sys.executable, "-m", "assistant", "serve", "--central", workshop.address, "--token", str(workshop.token_file),
        "--display-port", "0",
    ]  # fmt: skip
    office = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=ON, cwd=ROOT,
        preexec_fn=as_from_a_terminal,  # noqa: PLW1509
    )  # fmt: skip
    try:
        link = re.fullmatch(r"Look at (http://127\.0\.0\.1:\d+/)\n", office.stdout.readline())[1]
        assert office.stdout.readline() == "Control-C ends it.\n"
        assert name.encode() in ask(link, "/jobs", seconds=60).body
        listed = subprocess.run(["ps", "-eww", "-o", "args"], capture_output=True, text=True, check=True).stdout
        assert "serve --central" in listed
        assert workshop.token not in listed
        press_control_c(office)
        rest, faults = office.communicate(timeout=30)
        assert (office.returncode, rest, faults) == (0, "", "")
    finally:
        if office.poll() is None:
            office.kill()
            office.communicate()


@pytest.mark.parametrize(
    ("given", "code", "sentence"),
    [
        ([], 2, "no central store is set"),
        (["--central", "nonsense"], 12, "The address of the central store"),
        (["--central", "host=127.0.0.1 user=a.office password=x"], 12, "never with a password"),
    ],
)
def test_what_cannot_be_served_is_one_sentence(workshop, given, code, sentence):
    done = subprocess.run(
        [sys.executable, "-m", "assistant", "serve", *given], capture_output=True, text=True, env=ON, cwd=ROOT
    )
    assert (done.returncode, done.stdout) == (code, "")
    assert sentence in done.stderr
    assert "Traceback" not in done.stderr


def test_many_may_look_from_the_address_of_one_proxy(workshop, serve):
    office = serve(workshop)
    with ExitStack() as stack:
        watchers = [stack.enter_context(closing(Watcher(office.link))) for _ in range(60)]
        work(workshop.bay("bay1"), SHORTEST, most=1)
        for one in watchers:
            assert one.until(lambda told: told["seq"] > 1)[0]["boot"] == office.changes.boot


def test_what_a_bay_sends_is_told_before_the_jobs_are_compared(workshop, serve):
    office = serve(workshop)
    bay = workshop.bay("bay1")
    waits = []
    for number in range(5):
        sent = time.monotonic()
        name = work(bay, SHORTEST, most=1, start_s=1_790_000_000.0 + 86_400 * number)
        until(lambda name=name: name in office.watch.shown.cards)
        waits.append(time.monotonic() - sent)
        assert name.encode() in ask(office.link, "/jobs", seconds=60).body
    assert min(waits) < 4.0, "the store tells; it is compared every five seconds only"
