"""docs/journal.md tells the truth: its commands, run as they stand, give the hashes that are in the file."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from assistant.journal.sqlite.file import APPLICATION_ID, FORMAT
from tests.journal.conftest import notes

PAGE = (Path(__file__).parents[2] / "docs" / "journal.md").read_text("utf-8")


@pytest.mark.skipif(
    shutil.which("sqlite3") is None, reason="the sqlite3 command is not installed: apt-get install sqlite3"
)
@pytest.mark.parametrize("seq", [1, 2, 7])
def test_the_commands_to_check_by_hand_give_the_stored_hash(path, job, seq):
    notes(job, 10)
    (block,) = re.findall(r"```sh\n(.*?)```", PAGE, re.DOTALL)
    script = block.replace("bay1-2026-11-26-3", job.id).replace("seq = 7", f"seq = {seq}")
    out = subprocess.run(["bash", "-c", script], cwd=path.parent, capture_output=True, text=True, check=True).stdout
    wanted, stored = out.split("-\n")
    assert wanted.strip() == stored.strip() == job.entries()[seq - 1].hash


def test_the_numbers_that_mark_the_file_are_on_the_page():
    assert (
        f"`PRAGMA application_id` is {APPLICATION_ID} and `PRAGMA user_version` is the format, now {FORMAT}"
        in " ".join(PAGE.split())
    )
