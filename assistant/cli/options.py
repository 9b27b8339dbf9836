"""The options that several commands share."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from assistant.cli import completing
from assistant.shipped import procedure_at

_PROCEDURE = "The procedure: a YAML file, or the name of one that came with the program; see: assistant procedures."
ProcedureFile = Annotated[
    Path,
    typer.Argument(
        metavar="PROCEDURE", help=_PROCEDURE, callback=procedure_at, autocompletion=completing.known_procedures
    ),
]
JobName = Annotated[
    str,
    typer.Argument(
        metavar="[JOB]", help='The job\'s name, its beginning, or "last".', autocompletion=completing.known_jobs
    ),
]
Asset = Annotated[str, typer.Option(help="What is worked on, in your own words; kept in the journal.")]
Customer = Annotated[str, typer.Option(help="Reference of the customer; kept in the journal, and can be removed.")]
Meter = Annotated[str, typer.Option(help="What the machine's meter shows, such as 123456km, 80000mi or 1234.5h.")]
MeterNote = Annotated[
    str, typer.Option("--meter-note", help="Why a reading is lower than before, such as a new instrument.")
]
Operator = Annotated[
    str | None, typer.Option(help="Who does the work, and after commas who may take over; kept in the journal.")
]
_DEVICE = "Number or part of the name; see: assistant devices."
Microphone = Annotated[str | None, typer.Option(help=_DEVICE, autocompletion=completing.microphones)]
Loudspeaker = Annotated[str | None, typer.Option(help=_DEVICE, autocompletion=completing.loudspeakers)]
Headset = Annotated[
    bool | None,
    typer.Option("--headset/--no-headset", help="The microphone cannot hear the loudspeaker: listen while speaking."),
]
Model = Annotated[str | None, typer.Option(help="A Vosk model directory, in place of the built-in recogniser.")]
Voice = Annotated[str | None, typer.Option(help="A voice of the synthesiser.")]
Rate = Annotated[int | None, typer.Option(help="Words per minute.")]
Volume = Annotated[int | None, typer.Option(help="Decibels relative to full scale, 0 or less.")]
Synthesiser = Annotated[str | None, typer.Option(help="pyttsx3, or natural (the extra of that name).")]
DISPLAY_PORT = 8470
Display = Annotated[
    bool, typer.Option("--display", help="Serve the display, a page in large letters, to this machine alone.")
]
DisplayHost = Annotated[
    str,
    typer.Option(help="Serve it in the shop's network, at this address of this machine; asks for a token."),
]
DisplayPort = Annotated[int, typer.Option(min=0, max=65535, help="The port of the display; 0 takes any that is free.")]
DisplayTouch = Annotated[
    bool, typer.Option("--display-touch", help="The page has large buttons for next, repeat and pause.")
]
Tools = Annotated[
    Path | None,
    typer.Option(metavar="FILE", help="The bay's tool file, in place of that in the settings."),
]
KeepAudio = Annotated[
    bool | None, typer.Option("--keep-audio", help="Keep a recording of every utterance; said aloud at the start.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print it as JSON.")]


class Paper(StrEnum):
    """Sizes of paper."""

    A4 = "a4"
    LETTER = "letter"
