"""Doing a job: run, bay, resume, rehearse."""

from __future__ import annotations

from typing import Annotated

import typer

from assistant.bay.options import ResumeOptions, RunOptions
from assistant.cli.options import JobName, ProcedureFile, takes
from assistant.idle.options import BayOptions
from assistant.rehearsal.options import RehearseOptions

_MOMENTS = ["%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%d"]
"""How a moment may be written (ISO 8601, to the minute or to the second)."""


@takes()
def run(procedure: ProcedureFile, options: RunOptions) -> None:
    """Start a live job with the microphone and the loudspeaker.

    Keys and a foot pedal always work as well: enter or page down is "next", r "repeat", b "which bolts", v "what
    value", y and n answer, c is "confirmed", x "cancel", p "pause", o "carry on"; a colon opens a line to
    type any phrase.
    Control-C keeps the job; go on with: assistant resume.
    """
    from assistant.bay.live import run_live

    raise typer.Exit(run_live(procedure, options))


@takes(
    wake=typer.Option(help="The phrase that wakes it, in place of that in the settings."),
    procedures=typer.Option(
        metavar="FOLDER", readable=False, help="The folder of the procedures, in place of that in the settings."
    ),
    printer=typer.Option(help="The printer of the labels, by its name for lp."),
)
def bay(options: BayOptions) -> None:
    """Wait all day, and begin or go on with jobs by voice, keys or the page.

    Say the wake phrase of the settings, where there is one, then: jobs, procedures, new job; next one, number two, or a
    word of a title; operator and a name; start, or resume. Behind a job it waits again. Control-C ends the day, and
    keeps a job that is open.
    """
    from assistant.idle.opening import run_bay

    raise typer.Exit(run_bay(options))


@takes()
def resume(
    options: ResumeOptions,
    job: JobName = "last",
    from_bay: Annotated[
        str, typer.Option("--from", metavar="BAY", help="The bay that has the job and is gone: take it over.")
    ] = "",
) -> None:
    """Go on with a job after a pause, a crash or a pulled plug: says where it is in one breath.

    The state is built again from the journal alone; the procedure is the one that the job was opened with. With
    --operator and another name than before, the job is handed over, and the new one is told what there is to know. A
    job that is paused in another bay of the workshop is brought here first.
    """
    from assistant.bay.live import resume_live

    raise typer.Exit(resume_live(job, options, from_bay))


@takes(
    audio_in=typer.Option(metavar="TALK", readable=False, help="The recording that stands in for the microphone."),
    typed=typer.Option(metavar="FILE", readable=False, help='A typed talk in its place; "-" is the standard input.'),
    audio_out=typer.Option(metavar="OUT.wav", help="Write the spoken side here."),
    job=typer.Option(help="Go on with this open rehearsal of the procedure."),
    real_time=typer.Option("--real-time", help="Take as long as the talk and the answers last, to watch it."),
    json=typer.Option("--json", help="(--typed) Dialogue and journal entries as JSON lines."),
    begin=typer.Option(formats=_MOMENTS, help="(--typed) When it begins, by the clock of this place; else now."),
    trial=typer.Option("--trial", help="(--typed) Keep nothing of it in the journal."),
)
def rehearse(procedure: ProcedureFile, options: RehearseOptions) -> None:
    """Run a job on a recording or a typed talk: no sound card, faster than real time.

    On a recording, with real recognition and real speech; on a typed talk, with neither, in a moment. Whoever talks
    waits while the assistant speaks, as a polite person would. The job goes into the journal, marked as a rehearsal,
    unless it is a trial.
    """
    from assistant.rehearsal.rehearse import run_rehearsal

    if (options.audio_in is None) == (options.typed is None):
        raise typer.BadParameter("say either --audio-in and a recording, or --typed and a typed talk.")
    if options.typed is not None and options.audio_out is not None:
        raise typer.BadParameter(
            "a typed talk has no sound: leave out --audio-out, or give a recording with --audio-in."
        )
    if options.begin is not None and not 1971 <= options.begin.year <= 2999:
        raise typer.BadParameter("--begin must be a day from 1971 to 2999.")
    if options.typed is None and (options.json or options.trial or options.begin is not None):
        raise typer.BadParameter("--json, --trial and --begin belong to a typed talk: give one with --typed.")
    raise typer.Exit(run_rehearsal(procedure, options))


def add_work(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    for command in (run, bay, resume, rehearse):
        app.command()(command)
