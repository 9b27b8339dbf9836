"""The wheel, installed into a clean environment and run from a folder that has nothing to do with the checkout.

The libraries that the project uses are lent to that environment from the one in which the tests run, so that no network
is needed; the program itself comes from the wheel alone.
"""

import json
import os
import shutil
import subprocess
import sys
import venv
import zipfile
from importlib.util import find_spec
from pathlib import Path

import pytest

from tests.installing.moving import NO_SOUND, other_version, prove, runner

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """The wheel, built by the backend that ``uv build`` and ``python -m build`` call."""
    out = tmp_path_factory.mktemp("dist")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(out)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=110)
    assert done.returncode == 0, done.stderr
    (made,) = out.glob("*.whl")
    return made


def put_into(place, wheel):
    """Install the wheel into the environment in ``place``, without the network."""
    if not place.exists():
        venv.create(place, with_pip=False)
        (site,) = (place / "lib").glob("python*/site-packages")
        lent = {str(Path(find_spec(name).origin).parents[1]) for name in ("typer", "vosk", "numpy")}
        # As plain paths: the files in them that lead to the checkout are not read.
        (site / "lent.pth").write_text("".join(f"{path}\n" for path in lent))
    command = [sys.executable, "-m", "pip", "--python", str(place), "install", "--no-deps", "--no-index"]
    done = subprocess.run(
        [*command, "--force-reinstall", wheel], capture_output=True, text=True, timeout=110, cwd=place.parent
    )
    assert done.returncode == 0, done.stderr


def away():
    """The environment of the tests, without what leads to the checkout, and without sound."""
    kept = {name: value for name, value in os.environ.items() if name not in ("PYTHONPATH", "VIRTUAL_ENV")}
    return kept | NO_SOUND


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory):
    """Runs the program that was installed from the wheel, somewhere else."""
    place = tmp_path_factory.mktemp("elsewhere")
    put_into(place / "venv", wheel)
    (place / "work").mkdir()

    def run(*words, code=0, **environment):
        done = subprocess.run(
            [place / "venv/bin/assistant", *map(str, words)], cwd=place / "work", stdin=subprocess.DEVNULL,
            env=away() | {"ASSISTANT_HOME": str(place / "home")} | environment,
            capture_output=True, text=True, timeout=100,
        )  # fmt: skip
        assert done.returncode == code, (done.returncode, done.stdout[-2000:], done.stderr[-2000:])
        return done.stdout

    run.place = place
    return run


def test_the_wheel_has_all_that_belongs_to_the_program(wheel):
    names = set(zipfile.ZipFile(wheel).namelist())
    inside = {f"assistant/data/{path.relative_to(ROOT)}" for folder in ("models/bay-en", "procedures", "docs")
              for path in (ROOT / folder).rglob("*") if path.is_file()}  # fmt: skip
    inside |= {"assistant/data/LICENSE", "assistant/data/models/LICENSE", "assistant/data/models/README.md"}
    inside |= {str(path.relative_to(ROOT)) for pattern in ("*.html", "*.css", "*.js", "*.svg", "*.sql", "*.json")
               for path in (ROOT / "assistant").rglob(pattern)}  # fmt: skip
    assert inside <= names, inside - names
    assert any(name.endswith("licenses/LICENSE") for name in names)
    assert any(name.endswith("licenses/models/LICENSE") for name in names)
    assert not any("audio_fixtures" in name or name.startswith("tests/") for name in names)


def test_it_says_its_version_and_runs_from_the_wheel(installed):
    from assistant import __version__

    assert installed("--version").strip() == f"assistant {__version__}"
    seen = subprocess.run(
        [installed.place / "venv/bin/python", "-c", "import assistant; print(assistant.__file__)"],
        capture_output=True, text=True, cwd=installed.place / "work",
    ).stdout  # fmt: skip
    assert str(installed.place / "venv") in seen


def test_it_hears_a_whole_job_on_a_demo_procedure_and_writes_its_record(installed):
    shutil.copy(ROOT / "audio_fixtures/coolant-pump-cover.flac", installed.place / "work/talk.flac")
    told = installed("rehearse", "coolant-pump-cover", "--audio-in", "talk.flac", "--audio-out", "spoken.wav")
    assert "is closed" in told
    assert (installed.place / "work/spoken.wav").stat().st_size > 1_000_000
    (job,) = json.loads(installed("jobs", "--json"))
    assert (job["state"], job["rehearsal"]) == ("closed", True)
    installed("record", "last", "--pdf", "record.pdf", "--html", "record.html")
    assert (installed.place / "work/record.pdf").read_bytes().startswith(b"%PDF")
    installed("verify", "last")


def test_the_demo_procedures_can_be_named_checked_and_printed_anywhere(installed):
    demos = json.loads(installed("procedures", "--json"))
    assert {one["name"] for one in demos} == {path.stem for path in (ROOT / "procedures").glob("*.yaml")}
    assert all(Path(one["file"]).is_relative_to(installed.place / "venv") for one in demos)
    installed("check", *(one["name"] for one in demos))
    installed("sheet", demos[0]["name"], "--pdf", "sheet.pdf")
    assert json.loads(installed("schema"))["$schema"]
    installed("tools", Path(demos[0]["file"]).parent / "tools/practice-bay.yaml")


def test_the_doctor_finds_the_model_and_the_docs_of_the_wheel(installed):
    told = {row["part"]: row for row in json.loads(installed("doctor", "--json", code=5))}
    assert told["model"]["state"] == "good"
    assert str(installed.place / "venv") in told["model"]["found"]
    assert Path(told["docs"]["found"], "using.md").is_file()
    assert told["microphone"]["state"] == "fault"


@pytest.mark.timeout(400)  # twenty programs, one after the other
def test_a_bay_is_updated_goes_back_and_moves_to_another_pc(wheel, tmp_path):
    newer = other_version(wheel, "0.9.9", tmp_path)
    run = runner(tmp_path / "venv/bin/assistant", tmp_path, away())
    seen = prove(run, lambda one: put_into(tmp_path / "venv", one), wheel, newer, tmp_path)
    assert [line.split(":")[0] for line in seen if line.startswith("0.9.9")] == ["0.9.9"]
