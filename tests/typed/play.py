"""Plays a typed talk through the real command, and gives back what was said, recorded and shown.

A typed talk in a file (``tests/typed/talks/*.txt``) is what ``assistant rehearse PROCEDURE --typed FILE`` takes, as
docs/rehearsing.md describes it. Remarks that begin with ``#>`` say what must come of it, for :func:`check`::

    #> procedure: hub-drive          a file of tests/typed/procedures, tests/procedure/good or procedures (no ending)
    #> options: --tools FILE          more of the command line, from the top of the checkout
    #> begin: 2026-12-01T08:00        when it begins; the first of December 2026 when it is left out
    next
    #> A: Step two of nine.           what the line before is answered; tests/answers.py has all such lines
    +30 min
    #> A: is over                     what is said by itself meanwhile
    finish job
    #> exit: 3                        how the command ends, on the last line; zero when it is left out

Lines before the first that is said are about the opening.
"""

from __future__ import annotations

import json
import shlex
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from typer.testing import CliRunner

from assistant.__main__ import app
from tests.answers import Answer

ROOT = Path(__file__).parents[2]
FOLDERS = (ROOT / "tests/typed/procedures", ROOT / "tests/procedure/good", ROOT / "procedures")
BEGIN = "2026-12-01T08:00:00"


@dataclass
class Played:
    """How a typed talk went: ``answers`` by the number of its line (0: the opening, or what came by itself before)."""

    exit: int
    answers: dict[int, Answer] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    stderr: str = ""
    output: str = ""

    @property
    def said(self) -> list[str]:
        """All that was said, an answer each."""
        return [answer.said for answer in self.answers.values() if answer.said]

    @property
    def records(self) -> list[tuple[str, Mapping[str, Any]]]:
        """All entries of the journal, as kind and data."""
        return [record for answer in self.answers.values() for record in answer.records]

    def facts(self, *kinds: str) -> list[Mapping[str, Any]]:
        """The data of all entries of these kinds."""
        return [data for kind, data in self.records if kind in kinds]

    @property
    def last(self) -> Answer:
        """The last answer."""
        return self.answers[max(self.answers)]


def play(
    procedure: Path | str,
    talk: str | Sequence[str],
    *options: str,
    tools: Path | str | None = None,
    home: Path | None = None,
    begin: str = BEGIN,
) -> Played:
    """Rehearse ``procedure`` (a path, or its text) on the lines ``talk``.

    ``tools`` is a tool file or its text, ``options`` more words of the command line, ``home`` where the data goes
    (forgotten when it is not given), ``begin`` when it begins.
    """
    with TemporaryDirectory() as folder:
        words = ["rehearse", _file(procedure, Path(folder) / "procedure.yaml"), "--typed", "-", "--json", *options]
        words += ["--begin", begin] if begin else []
        words += ["--tools", _file(tools, Path(folder) / "tools.yaml")] if tools is not None else []
        text = talk if isinstance(talk, str) else "\n".join(talk)
        env = {"ASSISTANT_HOME": str(home or Path(folder) / "home")}
        result = CliRunner().invoke(app, words, input=text, env=env)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return _played(result.exit_code, result.stdout, result.stderr)


def check(path: Path) -> None:
    """Play the typed talk at ``path`` and check what it says must come; an AssertionError names the line."""
    lines = [line.strip() for line in path.read_text("utf-8").splitlines()]
    wanted = {number: line[2:].strip() for number, line in enumerate(lines, 1) if line.startswith("#>")}
    head = dict(line.split(": ", 1) for line in wanted.values() if line.startswith(("procedure", "options", "begin")))
    options = [str(ROOT / word) if (ROOT / word).is_file() else word for word in shlex.split(head.get("options", ""))]
    played = play(procedure_named(head["procedure"]), "\n".join(lines), *options, begin=head.get("begin", BEGIN))
    assert played.answers, f"{path.name}: {played.stderr}"
    ends = [line for line in wanted.values() if line.startswith("exit: ")]
    said = 0
    for number, line in enumerate(lines, 1):
        if number not in wanted:
            said = number if line and not line.startswith("#") else said
        elif not wanted[number].startswith(("procedure: ", "options: ", "begin: ", "exit: ")):
            try:
                played.answers.get(said, Answer()).check(wanted[number])
            except AssertionError as fault:
                raise AssertionError(f"{path.name}, line {number}: {line!r}: {fault}") from fault
    assert played.exit == int(ends[-1].removeprefix("exit: ") if ends else 0), f"{path.name}: {played.notes[-1:]}"


def _file(given: Path | str | None, path: Path) -> str:
    if isinstance(given, str):
        path.write_text(given, "utf-8")
        return str(path)
    return str(given)


def procedure_named(name: str) -> Path:
    for folder in FOLDERS:
        if (path := folder / f"{name}.yaml").is_file():
            return path
    raise ValueError(f"there is no procedure {name!r} in {', '.join(str(folder) for folder in FOLDERS)}")


def _played(code: int, stdout: str, stderr: str) -> Played:
    played = Played(code, stderr=stderr, output=stdout)
    for line in stdout.splitlines():
        shown = json.loads(line)
        answer = played.answers.setdefault(shown["line"], Answer())
        if "said" in shown:
            answer.said = f"{answer.said} {shown['said']}".strip()
        elif "tone" in shown:
            answer.tones.append(shown["tone"].replace(" ", "_"))
        elif "recorded" in shown:
            answer.records.append((shown["recorded"], shown["data"]))
        elif "note" in shown:
            played.notes.append(shown["note"])
            answer.notes.append(shown["note"])
    return played
