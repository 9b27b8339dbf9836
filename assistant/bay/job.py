"""What the commands share: where things lie, and what they read."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

from assistant.fastening.tools import ToolBox
from assistant.kept.tool_facts import tools_path
from assistant.procedure.format.content import approval_clause
from assistant.procedure.format.reader import Reading, read_procedure
from assistant.procedure.format.tool_file import ToolReading, read_tool_file
from assistant.settings import Settings, load_settings, override, settings_path
from assistant.terminal.exits import Exit, Refusal
from assistant.workshop.library_copy import bay_library


def settings_for(options: object) -> Settings:
    """Return the settings of this bay; what ``options`` has under the name of a setting, and is not None, comes first.

    Raises:
        SettingsFault: the settings cannot be read, or an option holds a value that is not possible.
    """
    given = {field.name: getattr(options, field.name, None) for field in fields(Settings)}
    paths = {name: str(value.absolute()) for name, value in given.items() if isinstance(value, Path)}
    return override(load_settings(settings_path()), given | paths)


def read_or_refuse(path: Path) -> Reading:
    """Return the procedure at ``path``.

    Raises:
        Refusal: it has errors; all findings are in the sentence, one a line. Or it is in a copy that is damaged.
    """
    damage = bay_library().damage(path)
    if damage is not None:
        raise Refusal(f"{damage.sentence}.", Exit.PROCEDURE)
    reading = read_procedure(path)
    if reading.procedure is None:
        raise Refusal("\n".join(str(finding) for finding in reading.findings), Exit.PROCEDURE)
    return reading


def read_tools_or_refuse(path: Path) -> tuple[ToolBox, ToolReading]:
    """Return the tools in the file ``path``, and how it was read.

    Raises:
        Refusal: it has errors; all findings are in the sentence, one a line.
    """
    reading = read_tool_file(path)
    if reading.box is None:
        raise Refusal("\n".join(str(finding) for finding in reading.findings), Exit.PROCEDURE)
    return reading.box, reading


def check_tools(setting: str) -> None:
    """Make sure that the tool file of this bay, if there is one, can be used, before devices are opened.

    Raises:
        Refusal: it has errors.
    """
    path = tools_path(setting)
    if path is not None:
        read_tools_or_refuse(path)


def about(reading: Reading) -> str:
    """Return, for the screen, which edition a job begins with, who approved it, and whether a look at it is wanted."""
    it = reading.usable
    line = f"{it.title}, revision {it.revision}: {approval_clause(it)}."
    if reading.findings:
        line += f" It has {len(reading.findings)} warnings; assistant check shows them."
    return line
