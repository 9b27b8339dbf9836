"""The real command at work, and a customer at its page: over a kill and a resume, with the page of before."""

import os
import signal
import socket
import subprocess
import sys

import pytest
from playwright.sync_api import expect

from tests.typed.play import procedure_named
from tests.whole_jobs.talks import ROOT
from tests.whole_jobs.workshop import Assistant

pytestmark = [pytest.mark.audio, pytest.mark.timeout(180)]


def test_a_customer_answers_a_job_at_work_before_and_behind_a_kill(browser, pulse, tmp_path):
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = str(probe.getsockname()[1])
    options = ("--display", "--display-port", port, "--rate", "250")
    with pulse.recorded() as recording, browser.new_page() as page:
        with Assistant(tmp_path, recording, "run", str(procedure_named("lid-and-rail")), *options) as first:
            first.until(lambda: any("Look at" in text for text in first.texts("note")), "the link")
            for line in (*["next"] * 4, "ask later", "i found something", "the seal weeps", "end note", "next service"):
                first.type(line)
            first.type("confirmed")
            first.until(lambda: any("Kept as extra work two" in text for text in first.texts("said")), "the finding")
            command = [sys.executable, "-m", "assistant", "customer", "last", "--display-port", port]
            env = os.environ | {"ASSISTANT_HOME": str(tmp_path)}
            link = subprocess.run(command, cwd=ROOT, env=env, text=True, capture_output=True, check=True).stdout
            link = link.split("\n")[1]
            page.goto(link)
            page.get_by_role("button", name="Granted (extra work 1)").click()
            page.get_by_role("button", name="Yes, I grant this").click()
            expect(page.get_by_text("You granted this")).to_be_visible()
            first.until(
                lambda: any("one is granted by the customer" in text for text in first.texts("said")), "the word"
            )
            page.get_by_role("button", name="Declined (extra work 2)").click()
            expect(page.get_by_role("heading", level=1)).to_have_text("You decline extra work 2")
            os.kill(first.process.pid, signal.SIGKILL)
            first.process.wait()
        with Assistant(tmp_path, recording, "resume", *options) as second:
            second.until(lambda: any("Look at" in text for text in second.texts("note")), "the link")
            page.get_by_role("button", name="Yes, I decline this").click()
            expect(page.get_by_text("You declined this")).to_be_visible()
            second.until(
                lambda: any("two is declined by the cust" in text for text in second.texts("said")), "the word"
            )
            assert second.end(signal.SIGTERM) == 130
