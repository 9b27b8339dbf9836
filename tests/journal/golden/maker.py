"""A bay in which a golden journal is made, by typed rehearsals and commands."""

from __future__ import annotations

import shutil
from pathlib import Path

from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.facts import Fact
from assistant.journal.opening import open_journal
from tests.jobs import ROOT
from tests.typed.play import play

TOOLS = ROOT / "procedures/tools/practice-bay.yaml"


class Maker:
    """A bay in the data folder ``home``, in which one job is done."""

    def __init__(self, home: Path) -> None:
        self.home = home

    def rehearse(self, procedure: Path, talk: str, *options: str, begin: str, tools: bool = False) -> None:
        """Do what the lines of ``talk`` say; a job that is there already is gone on with by ``--job last``."""
        here = self.home / procedure.name  # not the path of whoever makes it
        shutil.copyfile(procedure, here)
        for drawing in procedure.parent.glob("*.png"):
            if drawing.name in procedure.read_text("utf-8"):
                shutil.copyfile(drawing, self.home / drawing.name)
        lines = [line.strip() for line in talk.strip().splitlines()]
        played = play(here, lines, *options, home=self.home, begin=begin, tools=TOOLS if tools else None)
        assert played.exit in (0, 3), played.stderr

    def command(self, *words: str) -> None:
        """Give a command of ``assistant``."""
        result = CliRunner().invoke(app, list(words), env={"ASSISTANT_HOME": str(self.home)})
        assert result.exit_code == 0, result.output

    def append(self, *facts: Fact) -> None:
        """Put down what the bay writes about itself, or what a live session would."""
        with open_journal(self.home) as journal:
            last = journal.read("last").entries[-1].at_ms
            journal.hold("last", last).append(facts, last)
