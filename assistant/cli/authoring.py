"""For authors: write procedures (new, import, refit), hear them (preview), print them (sheet)."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

from assistant.authoring.options import ImportOptions, NewOptions, PreviewOptions, RefitOptions
from assistant.cli.options import ProcedureFile, takes
from assistant.cli.printing.options import Paper

if TYPE_CHECKING:
    from assistant.authoring.skeleton import DraftHead
    from assistant.authoring.wanted import Wanted
    from assistant.faults import Fault

_T = TypeVar("_T")
Out = Annotated[Path | None, typer.Argument(metavar="OUT", help="The file to write; without it, printed.")]
_REPLACE = "Replace a file that is there; the old one is kept as .bak."
Force = Annotated[bool, typer.Option("--force", help=_REPLACE)]
_FORCE = typer.Option("--force", help=_REPLACE)


@takes(
    title=typer.Option(help="What is done, as it is spoken."),
    machine=typer.Option(help="What it is done on."),
    source=typer.Option(help="Where the steps and values come from."),
    revision=typer.Option(help="Which edition this is."),
    scheme=typer.Option(help="Whose sense the signal words have: ansi or s1000d."),
    book_time=typer.Option(help="How long the whole job takes, such as 2 h 30 min."),
    persons=typer.Option(min=1, max=99, help="How many mechanics it needs."),
    bolts=typer.Option(
        help='A group of bolts: "name; size; count; stages", passes of a stage in brackets, "; new" for new ones.'
    ),
    spare=typer.Option(help="Another part that is fitted new, such as a gasket."),
    readings=typer.Option(help='A table of readings: "name; each; which; readings with limits".'),
    gate=typer.Option(help='A check that must hold: "question; gate", "question; witness", or both.'),
    wait=typer.Option(help='What cures or cools: "name; cure; time" or "name; cool; time".'),
    amount=typer.Option(help='What is filled in, and how much: "gear oil; 11 l".'),
    no_questions=typer.Option("--no-questions", help="Ask nothing; what is not given stays open."),
    force=_FORCE,
)
def new(options: NewOptions, out: Out = None) -> None:
    """Write the skeleton of a procedure: asks a few questions, and leaves comments where you must write.

    An empty answer leaves the thing open; assistant check then lists what is left to write.
    """
    from assistant.authoring.new import run_new
    from assistant.faults import Fault
    from assistant.terminal.exits import or_refuse

    def ask() -> Wanted:
        try:
            return _wanted(options)
        except typer.Abort:
            or_refuse(
                Fault("The questions were not all answered, so nothing was written", "answer, or say --no-questions")
            )
            raise

    raise typer.Exit(run_new(out, ask, force=options.force))


_QUESTIONS = (
    ("title", "What is done, as it will be spoken", ""),
    ("machine", "What is it done on", ""),
    ("source", "Where do the steps and values come from (book, edition)", ""),
    ("revision", "Which edition is this procedure of yours", "1"),
    ("scheme", "Signal words as in ansi or s1000d", "ansi"),
    ("book_time", "How long does the whole job take, such as 2 h 30 min", ""),
    ("persons", "How many mechanics does it need", "1"),
)

# These came later: answers that were written down before them end earlier, leave these open, and stay valid.
_READINGS = "Table of readings, such as valve clearances; cylinder; 1-6; intake 0.15 to 0.25 mm"
_CHECK = "Check that must hold, such as Do the marks line up; gate; witness"
_WAIT = "What cures or cools, such as sealant; cure; 30 min"
_AMOUNT = "What is filled in, such as gear oil; 11 l"


def _head(options: NewOptions) -> DraftHead:
    from assistant.authoring.new import draft_head
    from assistant.terminal.exits import or_refuse

    answers = {}
    for key, question, default in _QUESTIONS:
        answers[key] = getattr(options, key)
        if answers[key] is None:
            answers[key] = default if options.no_questions else _answer(question, default)
    head: DraftHead = or_refuse(draft_head(answers))
    return head


def _answer(question: str, default: str, *, later: bool = False) -> str:
    # On the standard error, because a draft without OUT goes to the standard output.
    typer.echo(f"{question} [{default}]: " if default else f"{question}: ", nl=False, err=True)
    line = typer.get_text_stream("stdin").readline()
    if not line and not later:
        raise typer.Abort
    return line.strip() or default


def _wanted(options: NewOptions) -> Wanted:
    from assistant.authoring import wanted

    head = _head(options)
    if options.bolts is None and not options.no_questions:
        typer.echo("Groups of bolts, such as: cover bolts; M8; 4; 5 Nm, 16 Nm, 45°", err=True)
        typer.echo('Put "; new" behind bolts that are never used again, and passes of one stage in brackets.', err=True)
    bolts = _several(options, options.bolts, "Group of bolts", wanted.parse_bolts_wanted)
    spares = _spares(options)
    readings = _several(options, options.readings, _READINGS, wanted.parse_readings, later=True)
    checks = _several(options, options.gate, _CHECK, wanted.parse_check, later=True)
    waits = _several(options, options.wait, _WAIT, wanted.parse_wait, later=True)
    amounts = _several(options, options.amount, _AMOUNT, wanted.parse_amount_wanted, later=True)
    return wanted.Wanted(head, bolts, spares, readings, checks, waits, amounts)


def _several(
    options: NewOptions,
    given: list[str] | None,
    question: str,
    parse: Callable[[str], _T | Fault],
    *,
    later: bool = False,
) -> list[_T]:
    """Return what was ``given``, or what is answered until nothing more is; a wrong answer is told, and asked again."""
    from assistant.faults import Fault
    from assistant.terminal.exits import or_refuse

    made: list[_T] = [or_refuse(parse(text)) for text in given or []]
    if given is not None or options.no_questions:
        return made
    while text := _answer(f"{question} (enter for no more)", "", later=later):
        one = parse(text)
        if isinstance(one, Fault):
            typer.echo(f"{one.sentence}.", err=True)
        else:
            made.append(one)
    return made


def _spares(options: NewOptions) -> list[str]:
    made = list(options.spare or [])
    if options.spare is None and not options.no_questions:
        while text := _answer("Another part that is fitted new, such as cover gasket (enter for no more)", "").strip():
            made.append(text)
    return made


@takes(
    tab=typer.Option(help="Only this tab of the workbook."),
    unit=typer.Option(help="Unit of torques that have none in the table: you answer for it."),
    force=_FORCE,
)
def import_(
    options: ImportOptions,
    table: Annotated[
        Path, typer.Argument(metavar="TABLE", readable=False, help="The tightening table, a .csv or .xlsx file.")
    ],
    out: Out = None,
) -> None:
    """Turn a tightening table into a draft with its groups and tighten steps, and tell what was not understood.

    A number without a unit is never guessed at: its row stands in the draft as a TODO, and the exit code is 4.
    """
    from assistant.authoring.importing import run_import

    raise typer.Exit(run_import(table, out, options))


@takes(
    programme=typer.Option(metavar="FILE", readable=False, help="A procedure with tighten steps for the same groups."),
    write=typer.Option("--write", help="Put it into PROCEDURE itself, which is kept as .bak."),
    force=_FORCE,
)
def refit(options: RefitOptions, procedure: ProcedureFile, out: Out = None) -> None:
    """Draft the reassembly from the steps that strip: in reverse order, with counts, new parts and torques.

    The draft goes behind the last chapter of a copy; what a person must decide is marked with TODO.
    """
    from assistant.authoring.refit.draft import run_refit

    raise typer.Exit(run_refit(procedure, out, options))


@takes(
    chapter=typer.Option(help="Only this chapter; Preparation and Closing are chapters too."),
    audio=typer.Option(metavar="OUT", help="Write the speech here: .flac or .ogg with a mark for each step, or .wav."),
    aloud=typer.Option("--aloud", help="Say it through the loudspeaker."),
    force=_FORCE,
)
def preview(options: PreviewOptions, procedure: ProcedureFile) -> None:
    """Hear a procedure before the bay does: its spoken length step by step, what is too much, how long the job takes.

    It walks through the job with the real session and the real voice, as a mechanic would who does all that is asked.
    """
    from assistant.authoring.preview import run_preview

    raise typer.Exit(run_preview(procedure, options))


def sheet(
    procedure: ProcedureFile,
    pdf: Annotated[Path, typer.Option(metavar="OUT", help="The PDF to write.")],
    paper: Annotated[Paper, typer.Option(help="Size of the paper.")] = Paper.A4,
    force: Force = False,
) -> None:
    """Print a work sheet: preparation list, steps with boxes to tick, bolt maps, warnings with their steps.

    Every page has the revision of the procedure and the hash of its file.
    """
    from assistant.authoring.sheet import run_sheet

    raise typer.Exit(run_sheet(procedure, pdf, paper=paper.value, force=force))


def add_authoring(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    app.command("new")(new)
    app.command("import")(import_)
    app.command("refit")(refit)
    app.command("preview")(preview)
    app.command("sheet")(sheet)
