"""Looks whether the printer of the labels is there, by ``lpstat`` of CUPS (lpstat(1), from memory)."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence

from assistant.service.part import GOOD, LOOK, Part

_ANSWER_S = 10.0
_SHOWN = 200


def look_at_printer(name: str, *, lpstat: Sequence[str] = ("lpstat",)) -> Part:
    """Tell how the printer ``name`` is; "" where none is set."""
    if not name:
        return Part("printer", GOOD, "none, and no job needs one; printer in the settings would name it")
    try:
        done = subprocess.run(  # noqa: S603 - a program of CUPS, with a name out of the settings as one argument
            [*lpstat, "-p", name], stdin=subprocess.DEVNULL, capture_output=True, timeout=_ANSWER_S, check=False
        )
    except FileNotFoundError:
        return Part("printer", LOOK, f"{name} cannot be asked for: install cups-client")
    except (OSError, subprocess.TimeoutExpired):
        return Part("printer", LOOK, f"{name} does not answer: see to CUPS, or take printer out of the settings")
    said = " ".join((done.stdout or done.stderr).decode(errors="replace").split())[:_SHOWN]
    if done.returncode or "disabled" in said:
        return Part("printer", LOOK, f"{name} cannot print now ({said}); lpstat -p lists the printers")
    return Part("printer", GOOD, said)
