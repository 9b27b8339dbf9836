"""What the command line hands to the journal."""

import os
import subprocess
import sys

import numpy as np
import soundfile

from assistant.journal.opening import open_journal


def test_an_asset_that_is_no_text_is_kept_as_far_as_it_is(tmp_path):
    talk = tmp_path / "quiet.wav"
    soundfile.write(talk, np.random.default_rng(1).normal(0, 0.001, 8000), 16_000)
    run = subprocess.run(
        [sys.executable, "-m", "assistant", "rehearse", "tests/procedure/good/bench-check.yaml", "--audio-in", talk,
         "--asset", b"rig \xff two"],
        env=os.environ | {"ASSISTANT_HOME": str(tmp_path)}, capture_output=True, text=True,
    )  # fmt: skip
    assert (run.returncode, run.stderr) == (3, "")
    job = run.stdout.rsplit("assistant resume ", 1)[1].strip()
    with open_journal(tmp_path, read_only=True) as journal:
        assert journal.first(job).data["asset"] == "rig ? two"
