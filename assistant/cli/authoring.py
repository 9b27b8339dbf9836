"""For authors: write procedures (new, import, refit), hear them (preview), print them (sheet)."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assistant.cli.options import Loudspeaker, Paper, ProcedureFile, Rate, Synthesiser, Voice

if TYPE_CHECKING:
    from assistant.authoring.new import BoltsWanted
    from assistant.authoring.skeleton import DraftHead

Out = Annotated[Path | None, typer.Argument(metavar="OUT", help="The file to write; without it, printed.")]
Force = Annotated[bool, typer.Option("--force", help="Replace a file that is there; the old one is kept as .bak.")]

NoQuestions = Annotated[bool, typer.Option("--no-questions", help="Ask nothing; what is not given stays open.")]
Unit = Annotated[str | None, typer.Option(help="Unit of torques that have none in the table: you answer for it.")]


def new(
    out: Out = None,
    title: Annotated[str | None, typer.Option(help="What is done, as it is spoken.")] = None,
    machine: Annotated[str | None, typer.Option(help="What it is done on.")] = None,
    source: Annotated[str | None, typer.Option(help="Where the steps and values come from.")] = None,
    revision: Annotated[str | None, typer.Option(help="Which edition this is.")] = None,
    scheme: Annotated[str | None, typer.Option(help="Whose sense the signal words have: ansi or s1000d.")] = None,
    book_time: Annotated[str | None, typer.Option(help="How long the whole job takes, such as 2 h 30 min.")] = None,
    persons: Annotated[int | None, typer.Option(min=1, max=99, help="How many mechanics it needs.")] = None,
    bolts: Annotated[
        list[str] | None,
        typer.Option(help='A group of bolts: "name; size; count; stages", and "; new" when they are never used again.'),
    ] = None,
    spare: Annotated[list[str] | None, typer.Option(help="Another part that is fitted new, such as a gasket.")] = None,
    no_questions: NoQuestions = False,
    force: Force = False,
) -> None:
    """Write the skeleton of a procedure: asks a few questions, and leaves comments where you must write.

    An empty answer leaves the thing open; assistant check then lists what is left to write.
    """
    from assistant.authoring.new import or_refuse, run_new
    from assistant.faults import Fault

    given = {"title": title, "machine": machine, "source": source, "revision": revision, "scheme": scheme,
             "book_time": book_time, "persons": persons}  # fmt: skip

    def ask() -> tuple[DraftHead, list[BoltsWanted], list[str]]:
        try:
            return (
                _head(given, quiet=no_questions),
                _bolts(bolts, quiet=no_questions),
                _spares(spare, quiet=no_questions),
            )
        except typer.Abort:
            or_refuse(
                Fault("The questions were not all answered, so nothing was written", "answer, or say --no-questions")
            )
            raise

    raise typer.Exit(run_new(out, ask, force=force))


_QUESTIONS = (
    ("title", "What is done, as it will be spoken", ""),
    ("machine", "What is it done on", ""),
    ("source", "Where do the steps and values come from (book, edition)", ""),
    ("revision", "Which edition is this procedure of yours", "1"),
    ("scheme", "Signal words as in ansi or s1000d", "ansi"),
    ("book_time", "How long does the whole job take, such as 2 h 30 min", ""),
    ("persons", "How many mechanics does it need", "1"),
)


def _head(given: dict[str, Any], *, quiet: bool) -> DraftHead:
    from assistant.authoring.new import draft_head, or_refuse

    answers = {}
    for key, question, default in _QUESTIONS:
        asked = given[key] is None
        answers[key] = given[key] if not asked else default if quiet else _answer(question, default)
    head: DraftHead = or_refuse(draft_head(answers))
    return head


def _answer(question: str, default: str) -> str:
    # On the standard error, because a draft without OUT goes to the standard output.
    typer.echo(f"{question} [{default}]: " if default else f"{question}: ", nl=False, err=True)
    line = typer.get_text_stream("stdin").readline()
    if not line:
        raise typer.Abort
    return line.strip() or default


def _bolts(given: list[str] | None, *, quiet: bool) -> list[BoltsWanted]:
    from assistant.authoring.new import or_refuse, parse_bolts_wanted
    from assistant.faults import Fault

    made = [or_refuse(parse_bolts_wanted(text)) for text in given or []]
    if given is None and not quiet:
        typer.echo("Groups of bolts, such as: cover bolts; M8; 4; 5 Nm, 16 Nm, 45°", err=True)
        typer.echo('Put "; new" behind bolts that are never used again.', err=True)
        while text := _answer("Group of bolts (enter for no more)", ""):
            one = parse_bolts_wanted(text)
            if isinstance(one, Fault):
                typer.echo(f"{one.sentence}.", err=True)
            else:
                made.append(one)
    return made


def _spares(given: list[str] | None, *, quiet: bool) -> list[str]:
    made = list(given or [])
    if given is None and not quiet:
        while text := _answer("Another part that is fitted new, such as cover gasket (enter for no more)", "").strip():
            made.append(text)
    return made


def import_(
    table: Annotated[Path, typer.Argument(metavar="TABLE", help="The tightening table, a .csv or .xlsx file.")],
    out: Out = None,
    tab: Annotated[str | None, typer.Option(help="Only this tab of the workbook.")] = None,
    unit: Unit = None,
    force: Force = False,
) -> None:
    """Turn a tightening table into a draft with its groups and tighten steps, and tell what was not understood.

    A number without a unit is never guessed at: its row stands in the draft as a TODO, and the exit code is 4.
    """
    from assistant.authoring.importing import run_import

    raise typer.Exit(run_import(table, out, tab=tab, unit=unit, force=force))


def refit(
    procedure: ProcedureFile,
    out: Out = None,
    programme: Annotated[
        Path | None, typer.Option(metavar="FILE", help="A procedure with tighten steps for the same groups.")
    ] = None,
    write: Annotated[
        bool, typer.Option("--write", help="Put it into PROCEDURE itself, which is kept as .bak.")
    ] = False,
    force: Force = False,
) -> None:
    """Draft the reassembly from the steps that strip: in reverse order, with counts, new parts and torques.

    The draft goes behind the last chapter of a copy; what a person must decide is marked with TODO.
    """
    from assistant.authoring.refit.draft import run_refit

    raise typer.Exit(run_refit(procedure, out, programme=programme, write=write, force=force))


def preview(
    procedure: ProcedureFile,
    chapter: Annotated[
        str | None, typer.Option(help="Only this chapter; Preparation and Closing are chapters too.")
    ] = None,
    audio: Annotated[
        Path | None,
        typer.Option(metavar="OUT", help="Write the speech here: .flac or .ogg with a mark for each step, or .wav."),
    ] = None,
    aloud: Annotated[bool, typer.Option("--aloud", help="Say it through the loudspeaker.")] = False,
    loudspeaker: Loudspeaker = None,
    voice: Voice = None,
    rate: Rate = None,
    synthesiser: Synthesiser = None,
    force: Force = False,
) -> None:
    """Hear a procedure before the bay does: its spoken length step by step, what is too much, how long the job takes.

    It walks through the job with the real session and the real voice, as a mechanic would who does all that is asked.
    """
    from assistant.authoring.preview import run_preview

    options = {"loudspeaker": loudspeaker, "voice": voice, "rate": rate, "synthesiser": synthesiser}
    raise typer.Exit(run_preview(procedure, chapter=chapter, audio=audio, aloud=aloud, force=force, options=options))


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
