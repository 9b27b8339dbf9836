"""`make model` without recordings: one sentence says what is missing."""

import subprocess
from pathlib import Path


def test_make_model_says_what_is_missing(tmp_path: Path) -> None:
    root = Path(__file__).parents[2]
    done = subprocess.run(["make", "model", f"DATA={tmp_path}"], cwd=root, capture_output=True, text=True, check=False)
    assert done.returncode != 0
    assert f"{tmp_path}/manifest.tsv is missing. Say make model DATA=folder" in done.stdout
