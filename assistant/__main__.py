"""The command line. Each command is thin: it reads its options and hands them to the bay."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant import __version__
from assistant.bay.exits import MEANINGS, Exit

_CODES = "  \n".join(f"{code.value}: {text}" for code, text in MEANINGS.items())

app = typer.Typer(
    name="assistant",
    help="Reads a work procedure aloud, one step and one tightening stage at a time, and moves on when you say so.",
    epilog=f"Exit codes:\n\n{_CODES}\n\nData is kept in ASSISTANT_HOME, or in your data folder when that is not set.",
    no_args_is_help=True,
    rich_markup_mode="markdown",
    context_settings={"help_option_names": ["-h", "--help"]},
    pretty_exceptions_enable=False,
)

ProcedureFile = Annotated[Path, typer.Argument(metavar="PROCEDURE", help="The procedure, a YAML file.")]
JobName = Annotated[str, typer.Argument(metavar="[JOB]", help='The job\'s name, its beginning, or "last".')]
Asset = Annotated[str, typer.Option(help="What is worked on, in your own words; kept in the journal.")]
Operator = Annotated[str | None, typer.Option(help="Who does the work; kept in the journal.")]
Microphone = Annotated[str | None, typer.Option(help="Number or part of the name; see: assistant devices.")]
Loudspeaker = Annotated[str | None, typer.Option(help="Number or part of the name; see: assistant devices.")]
Headset = Annotated[
    bool | None,
    typer.Option("--headset/--no-headset", help="The microphone cannot hear the loudspeaker: listen while speaking."),
]
Model = Annotated[str | None, typer.Option(help="A Vosk model directory, in place of the built-in recogniser.")]
Voice = Annotated[str | None, typer.Option(help="A voice of the synthesiser.")]
Rate = Annotated[int | None, typer.Option(help="Words per minute.")]
Volume = Annotated[int | None, typer.Option(help="Decibels relative to full scale, 0 or less.")]
Synthesiser = Annotated[str | None, typer.Option(help="pyttsx3, or natural (the extra of that name).")]
KeepAudio = Annotated[
    bool | None, typer.Option("--keep-audio", help="Keep a recording of every utterance; said aloud at the start.")
]


@app.callback(invoke_without_command=True)
def _main(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version and end.", is_eager=True)] = False,
) -> None:
    if version:
        typer.echo(f"assistant {__version__}")
        raise typer.Exit(Exit.OK)
    if context.invoked_subcommand is None:
        typer.echo(context.get_help())
        raise typer.Exit(Exit.OK)


@app.command()
def run(
    procedure: ProcedureFile,
    asset: Asset = "",
    operator: Operator = None,
    microphone: Microphone = None,
    loudspeaker: Loudspeaker = None,
    headset: Headset = None,
    model: Model = None,
    voice: Voice = None,
    rate: Rate = None,
    volume: Volume = None,
    synthesiser: Synthesiser = None,
    keep_audio: KeepAudio = None,
) -> None:
    """Start a live job with the microphone and the loudspeaker.

    Keys and a foot pedal always work as well: enter or page down is "next", r "repeat", b "which bolts", v "what
    value", y and n answer, c is "confirmed", x "cancel", p "pause", o "carry on"; a colon opens a line to
    type any phrase.
    Control-C keeps the job; go on with: assistant resume.
    """
    from assistant.bay.live import run_live

    options = {
        "operator": operator, "microphone": microphone, "loudspeaker": loudspeaker, "headset": headset, "model": model,
        "voice": voice, "rate": rate, "volume": volume, "synthesiser": synthesiser, "keep_audio": keep_audio,
    }  # fmt: skip
    raise typer.Exit(run_live(procedure, asset=asset, options=options))


@app.command()
def resume(
    job: JobName = "last",
    microphone: Microphone = None,
    loudspeaker: Loudspeaker = None,
    headset: Headset = None,
    model: Model = None,
    voice: Voice = None,
    rate: Rate = None,
    volume: Volume = None,
    synthesiser: Synthesiser = None,
) -> None:
    """Go on with a job after a pause, a crash or a pulled plug: says where it is in one breath.

    The state is built again from the journal alone; the procedure is the one that the job was opened with.
    """
    from assistant.bay.live import resume_live

    options = {
        "microphone": microphone, "loudspeaker": loudspeaker, "headset": headset, "model": model,
        "voice": voice, "rate": rate, "volume": volume, "synthesiser": synthesiser,
    }  # fmt: skip
    raise typer.Exit(resume_live(job, options=options))


@app.command()
def rehearse(
    procedure: ProcedureFile,
    hear: Annotated[Path, typer.Option(metavar="TALK", help="The recording that stands in for the microphone.")],
    speak: Annotated[Path | None, typer.Option(metavar="OUT.wav", help="Write the spoken side here.")] = None,
    asset: Asset = "",
    operator: Operator = None,
    model: Model = None,
    voice: Voice = None,
    rate: Rate = None,
    synthesiser: Synthesiser = None,
) -> None:
    """Run a job on a recording: real recognition and real speech, no sound card, faster than real time.

    The recording waits while the assistant speaks, as a polite person would. The job goes into the journal, marked as a
    rehearsal.
    """
    from assistant.bay.rehearsal import run_rehearsal

    options = {"operator": operator, "model": model, "voice": voice, "rate": rate, "synthesiser": synthesiser}
    raise typer.Exit(run_rehearsal(procedure, hear, speak, asset=asset, options=options))


@app.command()
def jobs() -> None:
    """List the jobs in the journal, newest first: name, state, place, procedure."""
    from assistant.bay.lists import print_jobs

    raise typer.Exit(print_jobs())


@app.command()
def show(job: JobName = "last") -> None:
    """Print a job's journal entry by entry, and check its chain; reads only, and works on a damaged journal too."""
    from assistant.bay.lists import print_entries

    raise typer.Exit(print_entries(job))


@app.command()
def devices() -> None:
    """List the microphones and loudspeakers with the numbers and names that the options take."""
    from assistant.bay.lists import print_devices

    raise typer.Exit(print_devices())


@app.command()
def phrases() -> None:
    """Print every phrase that can be spoken, and what it does."""
    from assistant.bay.lists import print_phrases

    raise typer.Exit(print_phrases())


@app.command()
def check(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="Procedures to check.")],
) -> None:
    """Check procedures: every finding with its file, line and column, and what to write instead."""
    from assistant.bay.lists import print_findings

    raise typer.Exit(print_findings(files))


@app.command()
def convert(
    torque: Annotated[list[str], typer.Argument(metavar="TORQUE", help="For example: 33 lbf.ft")],
) -> None:
    """Print a torque in every unit that the trade uses, and how it is spoken."""
    from assistant.bay.sums import print_conversion

    raise typer.Exit(print_conversion(" ".join(torque)))


@app.command()
def setting(
    torque: Annotated[str, typer.Argument(help="The torque wanted at the bolt, for example 40Nm.")],
    lever: Annotated[str, typer.Option(help="Grip centre to drive centre; mm unless a unit is given.")],
    extension: Annotated[str, typer.Option(help="Drive centre to bolt centre; mm unless a unit is given.")],
    angle: Annotated[str, typer.Option(help="0 straight on, 90 square, 180 pointing back; degrees.")] = "0",
) -> None:
    """Print what to set on a torque wrench with an adapter (crowfoot), and what then arrives at the bolt."""
    from assistant.bay.sums import print_setting

    raise typer.Exit(print_setting(torque, lever, extension, angle))


def main() -> None:
    """Run the command line."""
    app()


if __name__ == "__main__":
    main()
