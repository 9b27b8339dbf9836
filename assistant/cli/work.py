"""Doing a job: run, resume, rehearse."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.cli.options import (
    Asset,
    Headset,
    JobName,
    KeepAudio,
    Loudspeaker,
    Microphone,
    Model,
    Operator,
    ProcedureFile,
    Rate,
    Synthesiser,
    Voice,
    Volume,
)


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


def add(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    for command in (
        run,
        resume,
        rehearse,
    ):
        app.command()(command)
