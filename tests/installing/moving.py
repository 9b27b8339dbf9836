"""A bay works, is backed up, updated, goes back, and moves to another PC: with nothing but wheels.

The tests let it run with lent libraries. ``make proof`` lets it run as on a clean PC, where only Debian's Python and
the package registry are there: ``python -m tests.installing.moving`` builds the wheel, hides the checkout and the
user's folders behind empty ones (unshare(1); root), installs, and prints what was done. It takes minutes.
"""

from __future__ import annotations

import base64
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[2]
NO_SOUND = {"ALSA_CONFIG_PATH": "/usr/share/alsa/alsa.conf", "PULSE_SERVER": "unix:/nowhere"}
PROCEDURE = "coolant-pump-cover"
_KEPT = (Path("/"), Path("/tmp"))
Run = Callable[..., str]
"""Runs ``assistant`` with words, in a data folder, with what is typed into it; the exit code must be ``code``."""


def other_version(wheel: Path, version: str, folder: Path) -> Path:
    """Return a wheel that holds the same program under another ``version`` (the names: PEP 427)."""
    _, before, _ = wheel.name.split("-", 2)
    made = folder / wheel.name.replace(f"-{before}-", f"-{version}-")
    record: list[str] = []
    with zipfile.ZipFile(wheel) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as new:
        for name in old.namelist():
            data, other = old.read(name), name.replace(f"-{before}.dist-info/", f"-{version}.dist-info/")
            if name == "assistant/__init__.py" or name.endswith(".dist-info/METADATA"):
                data = data.replace(before.encode(), version.encode())
            if not name.endswith(".dist-info/RECORD"):
                digest = base64.urlsafe_b64encode(hashlib.sha256(data).digest()).rstrip(b"=").decode()
                record.append(f"{other},sha256={digest},{len(data)}")
                new.writestr(other, data)
        listing = f"step_assistant-{version}.dist-info/RECORD"
        new.writestr(listing, "\n".join([*record, f"{listing},,", ""]))
    return made


def prove(run: Run, install: Callable[[Path], None], wheel: Path, newer: Path, place: Path) -> list[str]:
    """Do all of it below ``place``; return what was seen, line by line. AssertionError where something is not so."""
    seen: list[str] = []
    old_pc, new_pc, stick = place / "old/data", place / "new/data", place / "stick"
    stick.mkdir()

    def version() -> str:
        return run("--version", home=old_pc).split()[-1]

    install(wheel)
    first = version()
    told = run("rehearse", PROCEDURE, "--typed", "-", home=old_pc, typed="next\nnext\n", code=3)
    assert "is open" in told
    (job,) = json.loads(run("jobs", "--json", home=old_pc))
    entries, name = job["entries"], job["job"]
    seen.append(f"{first}: began job {name}, {entries} entries")
    run("settings", "set", "rate", "150", home=old_pc)
    run("backup", stick, home=old_pc)
    (backup,) = stick.glob("*.zip")
    seen.append(f"{first}: {run('restore', backup, '--check', home=old_pc).strip()}")

    install(newer)
    second = version()
    assert second != first
    run("verify", name, home=old_pc)
    run("rehearse", PROCEDURE, "--typed", "-", "--job", name, home=old_pc, typed="what is left\n", code=3)
    (job,) = json.loads(run("jobs", "--json", home=old_pc))
    assert job["entries"] > entries
    seen.append(f"{second}: went on with it, {job['entries']} entries")

    install(wheel)
    assert version() == first
    run("verify", name, home=old_pc)
    assert json.loads(run("jobs", "--json", home=old_pc))[0]["entries"] == job["entries"]
    seen.append(f"{first} again: opens and verifies it")

    assert "already" in run("restore", backup, home=old_pc, code=8)
    run("restore", backup, "--over", home=old_pc)
    assert json.loads(run("jobs", "--json", home=old_pc))[0]["entries"] == entries
    seen.append(f"{first}: put the backup back, {entries} entries")

    run("restore", backup, home=new_pc)
    run("verify", name, home=new_pc)
    assert json.loads(run("settings", "show", "--json", home=new_pc))["settings"]["rate"] == 150
    run("rehearse", PROCEDURE, "--typed", "-", "--job", name, home=new_pc, typed="next\n", code=3)
    unit = run("install-service", "--print", home=new_pc)
    assert f"ASSISTANT_HOME={new_pc}" in unit
    seen.append("another PC: restored, verified, gone on with; the unit names its data folder")
    return seen


def runner(program: Path, place: Path, environment: dict[str, str]) -> Run:
    """Return what runs ``program`` away from the checkout."""

    def run(*words: object, home: Path, typed: str = "", code: int = 0) -> str:
        done = subprocess.run(
            [program, *map(str, words)], cwd=place, input=typed, env=environment | {"ASSISTANT_HOME": str(home)},
            capture_output=True, text=True, timeout=300,
        )  # fmt: skip
        assert done.returncode == code, (words, done.returncode, done.stdout[-2000:], done.stderr[-2000:])
        return done.stdout + done.stderr

    return run


def _clean_pc(folder: Path) -> None:
    """Be a clean PC: only Debian's Python, the registry, and the wheels in ``folder``."""
    home = folder / "user"
    home.mkdir()
    kept = {name: value for name, value in os.environ.items() if name.startswith("PIP_") or name == "LANG"}
    env = kept | NO_SOUND | {"HOME": str(home), "PATH": "/usr/bin:/bin"}
    subprocess.run(["/usr/bin/python3", "-m", "venv", home / "venv"], check=True, env=env)
    program = home / "venv/bin/assistant"

    def install(wheel: Path) -> None:
        again = ["--force-reinstall", "--no-deps"] if program.exists() else []
        words = [home / "venv/bin/python", "-m", "pip", "install", "--quiet", *again, wheel]
        subprocess.run(words, check=True, env=env, cwd=home)

    older, newer = sorted(folder.glob("*.whl"))
    for line in prove(runner(program, home, env), install, older, newer, folder):
        print(line, flush=True)
    doctor = subprocess.run([program, "doctor"], env=env, cwd=home, capture_output=True, text=True)
    print(doctor.stdout, f"doctor ended with {doctor.returncode}: 5 where the machine has no sound", sep="")


def main() -> None:
    """Build the wheels, and let the rest run where the checkout and the user's folders cannot be seen."""
    if len(sys.argv) > 1:
        _clean_pc(Path(sys.argv[1]))
        return
    with tempfile.TemporaryDirectory(prefix="clean-pc-") as name:
        folder = Path(name)
        subprocess.run([sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", name], cwd=ROOT, check=True)
        (wheel,) = folder.glob("*.whl")
        other_version(wheel, "0.9.9", folder)
        shutil.copy(__file__, folder / "moving.py")
        hidden = sorted(
            {ROOT, Path.home(), Path("/work")} & set(filter(Path.is_dir, (ROOT, Path.home(), Path("/work"))))
        )
        hide = " && ".join(f"mount -t tmpfs none '{one}'" for one in hidden)
        inside = f"{hide} && cd '{folder}' && exec /usr/bin/python3 moving.py '{folder}'"
        code = subprocess.run(["unshare", "--mount", "sh", "-c", inside], cwd="/").returncode
    sys.exit(code)


if __name__ == "__main__":
    main()
