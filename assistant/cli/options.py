"""Options as the command line takes them: each is declared once, and a command gets them as one typed object.

A command names the class of its options as the type of its parameter ``options``. :func:`takes` turns the fields of
that class into options of the command, declared by the name of the field, and puts what was typed back into the class.
"""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields
from pathlib import Path
from typing import Annotated, Any, TypeVar, get_type_hints

import typer

from assistant.cli import completing


def found_procedure(path: Path) -> Path:
    """Return where the procedure lies that was typed as ``path``; the library has the rule."""
    from assistant.workshop.library_copy import procedure_named

    return procedure_named(path)


PROCEDURE_HELP = "The procedure: a YAML file, or the id of one in the library, or that came with the program."
# readable=False: a file that may not be read is told by whoever reads it, with what to do.
ProcedureFile = Annotated[
    Path,
    typer.Argument(
        metavar="PROCEDURE",
        readable=False,
        help=PROCEDURE_HELP,
        callback=found_procedure,
        autocompletion=completing.known_procedures,
    ),
]
JobName = Annotated[
    str,
    typer.Argument(
        metavar="[JOB]", help='The job\'s name, its beginning, or "last".', autocompletion=completing.known_jobs
    ),
]
MeterNote = Annotated[
    str, typer.Option("--meter-note", help="Why a reading is lower than before, such as a new instrument.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print it as JSON.")]


_DEVICE = "Number or part of the name; see: assistant devices."
SHARED: Mapping[str, Any] = {
    "asset": typer.Option(help="What is worked on, in your own words; kept in the journal."),
    "customer": typer.Option(help="Reference of the customer; kept in the journal, and can be removed."),
    "meter": typer.Option(help="What the machine's meter shows, such as 123456km, 80000mi or 1234.5h."),
    "meter_note": typer.Option("--meter-note", help="Why a reading is lower than before, such as a new instrument."),
    "operator": typer.Option(help="Who does the work, and after commas who may take over; kept in the journal."),
    "microphone": typer.Option(help=_DEVICE, autocompletion=completing.microphones),
    "loudspeaker": typer.Option(help=_DEVICE, autocompletion=completing.loudspeakers),
    "headset": typer.Option(
        "--headset/--no-headset", help="The microphone cannot hear the loudspeaker: listen while speaking."
    ),
    "model": typer.Option(help="A Vosk model directory, in place of the built-in recogniser."),
    "voice": typer.Option(help="A voice of the synthesiser."),
    "rate": typer.Option(help="Words per minute."),
    "volume": typer.Option(help="Decibels relative to full scale, 0 or less."),
    "synthesiser": typer.Option(help="pyttsx3, or natural (the extra of that name)."),
    "tools": typer.Option(
        metavar="FILE", readable=False, help="The bay's tool file, in place of that in the settings."
    ),
    "box": typer.Option(
        metavar="FILE", readable=False, help="The list of the bay's box of shims, in place of that in the settings."
    ),
    "keep_audio": typer.Option("--keep-audio", help="Keep a recording of every utterance; said aloud at the start."),
    "display": typer.Option("--display", help="Serve the display, a page in large letters, to this machine alone."),
    "display_host": typer.Option(
        help="Serve it in the shop's network, at this address of this machine; asks for a token."
    ),
    "display_port": typer.Option(min=0, max=65535, help="The port of the display; 0 takes any that is free."),
    "display_touch": typer.Option("--display-touch", help="The page has large buttons for next, repeat and pause."),
    "central": typer.Option(
        metavar="ADDRESS", help="The workshop's central store: host=HOST user=WORKSHOP.office dbname=shop."
    ),
    "token": typer.Option(
        metavar="FILE", readable=False, help="The file with the token of that login; else central.token."
    ),
    "rehearsals": typer.Option("--rehearsals", help="Count rehearsals as well."),
    "paper": typer.Option(help="Size of the paper."),
    "force": typer.Option("--force", help="Replace a file that is there already; the old one is kept."),
    "as_json": typer.Option("--json", help="Print it as JSON."),
}
"""How each option that several commands share is declared, by the name of its field, in the order of the help."""

_Command = TypeVar("_Command", bound=Callable[..., None])


def takes(**own: Any) -> Callable[[_Command], _Command]:
    """Return a decorator: the command's parameter ``options`` becomes an option for each field of its class.

    ``own`` declares the fields that this command alone has, or has in a way of its own. The help lists what the command
    alone has first, in the order of ``own``, and then what it shares, in the order of :data:`SHARED`.
    """
    declared = {**SHARED, **own}
    order = [name for name in own if name not in SHARED] + list(SHARED)

    def decorate(command: _Command) -> _Command:
        hints = get_type_hints(command, include_extras=True)
        kind = hints.pop("options")
        hints.pop("return")
        types = get_type_hints(kind)
        taken = {field.name: field for field in sorted(fields(kind), key=lambda field: order.index(field.name))}

        @functools.wraps(command)
        def call(**given: Any) -> None:
            options = kind(**{name: given.pop(name) for name in taken})
            command(**given, options=options)

        before = inspect.signature(command).parameters
        parameters = [before[name].replace(annotation=hint, kind=_NAMED) for name, hint in hints.items()]
        for name, field in taken.items():
            default = inspect.Parameter.empty if field.default is MISSING else field.default
            hint = Annotated.__class_getitem__((types[name], declared[name]))  # type: ignore[attr-defined]
            parameters.append(inspect.Parameter(name, _NAMED, default=default, annotation=hint))
        call.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
        call.__annotations__ = {parameter.name: parameter.annotation for parameter in parameters}
        del call.__wrapped__
        return call  # type: ignore[return-value]

    return decorate


_NAMED = inspect.Parameter.KEYWORD_ONLY
