"""Doing a job: run, resume, rehearse."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from assistant.cli.options import (
    DISPLAY_PORT,
    Asset,
    Customer,
    Display,
    DisplayHost,
    DisplayPort,
    DisplayTouch,
    Headset,
    JobName,
    KeepAudio,
    Loudspeaker,
    Meter,
    MeterNote,
    Microphone,
    Model,
    Operator,
    ProcedureFile,
    Rate,
    Synthesiser,
    Tools,
    Voice,
    Volume,
)

if TYPE_CHECKING:
    from assistant.bay.display import DisplayOptions


def _display(display: bool, host: str, port: int, touch: bool) -> DisplayOptions | None:
    """Return what was asked about the display; any of its options but the port switches it on."""
    if not (display or host or touch):
        return None
    from assistant.bay.display import DisplayOptions

    return DisplayOptions(host, port, touch)


def _whole(path: Path | None) -> str | None:
    """Return a path of the command line as text that means the same from any folder."""
    return None if path is None else str(path.absolute())


def run(
    procedure: ProcedureFile,
    asset: Asset = "",
    customer: Customer = "",
    meter: Meter = "",
    meter_note: MeterNote = "",
    operator: Operator = None,
    microphone: Microphone = None,
    loudspeaker: Loudspeaker = None,
    headset: Headset = None,
    model: Model = None,
    voice: Voice = None,
    rate: Rate = None,
    volume: Volume = None,
    synthesiser: Synthesiser = None,
    tools: Tools = None,
    keep_audio: KeepAudio = None,
    display: Display = False,
    display_host: DisplayHost = "",
    display_port: DisplayPort = DISPLAY_PORT,
    display_touch: DisplayTouch = False,
) -> None:
    """Start a live job with the microphone and the loudspeaker.

    Keys and a foot pedal always work as well: enter or page down is "next", r "repeat", b "which bolts", v "what
    value", y and n answer, c is "confirmed", x "cancel", p "pause", o "carry on"; a colon opens a line to
    type any phrase.
    Control-C keeps the job; go on with: assistant resume.
    """
    from assistant.bay.job_card import JobCard
    from assistant.bay.live import run_live

    options = {
        "operator": operator, "microphone": microphone, "loudspeaker": loudspeaker, "headset": headset, "model": model,
        "voice": voice, "rate": rate, "volume": volume, "synthesiser": synthesiser, "keep_audio": keep_audio,
        "tools": _whole(tools),
    }  # fmt: skip
    page = _display(display, display_host, display_port, display_touch)
    raise typer.Exit(
        run_live(
            procedure,
            card=JobCard(asset, customer, meter, meter_note),
            options=options,
            display_options=page,
        )
    )


def resume(
    job: JobName = "last",
    operator: Operator = None,
    microphone: Microphone = None,
    loudspeaker: Loudspeaker = None,
    headset: Headset = None,
    model: Model = None,
    voice: Voice = None,
    rate: Rate = None,
    volume: Volume = None,
    synthesiser: Synthesiser = None,
    tools: Tools = None,
    display: Display = False,
    display_host: DisplayHost = "",
    display_port: DisplayPort = DISPLAY_PORT,
    display_touch: DisplayTouch = False,
) -> None:
    """Go on with a job after a pause, a crash or a pulled plug: says where it is in one breath.

    The state is built again from the journal alone; the procedure is the one that the job was opened with. With
    --operator and another name than before, the job is handed over, and the new one is told what there is to know.
    """
    from assistant.bay.live import resume_live

    options = {
        "operator": operator, "microphone": microphone, "loudspeaker": loudspeaker, "headset": headset, "model": model,
        "voice": voice, "rate": rate, "volume": volume, "synthesiser": synthesiser, "tools": _whole(tools),
    }  # fmt: skip
    page = _display(display, display_host, display_port, display_touch)
    raise typer.Exit(resume_live(job, options=options, display_options=page))


def rehearse(
    procedure: ProcedureFile,
    audio_in: Annotated[
        Path | None, typer.Option(metavar="TALK", help="The recording that stands in for the microphone.")
    ] = None,
    typed: Annotated[
        Path | None, typer.Option(metavar="FILE", help='A typed talk in its place; "-" is the standard input.')
    ] = None,
    audio_out: Annotated[Path | None, typer.Option(metavar="OUT.wav", help="Write the spoken side here.")] = None,
    job: Annotated[str, typer.Option(help="Go on with this open rehearsal of the procedure.")] = "",
    asset: Asset = "",
    customer: Customer = "",
    meter: Meter = "",
    meter_note: MeterNote = "",
    operator: Operator = None,
    model: Model = None,
    voice: Voice = None,
    rate: Rate = None,
    synthesiser: Synthesiser = None,
    tools: Tools = None,
    real_time: Annotated[
        bool, typer.Option("--real-time", help="Take as long as the talk and the answers last, to watch it.")
    ] = False,
    display: Display = False,
    display_host: DisplayHost = "",
    display_port: DisplayPort = DISPLAY_PORT,
    json: Annotated[bool, typer.Option("--json", help="(--typed) Dialogue and journal entries as JSON lines.")] = False,
    begin: Annotated[
        datetime | None, typer.Option(help="(--typed) When it begins, by the clock of this place; else now.")
    ] = None,
    trial: Annotated[bool, typer.Option("--trial", help="(--typed) Keep nothing of it in the journal.")] = False,
) -> None:
    """Run a job on a recording or a typed talk: no sound card, faster than real time.

    On a recording, with real recognition and real speech; on a typed talk, with neither, in a moment. Whoever talks
    waits while the assistant speaks, as a polite person would. The job goes into the journal, marked as a rehearsal,
    unless it is a trial.
    """
    from assistant.bay.job_card import JobCard

    if (audio_in is None) == (typed is None):
        raise typer.BadParameter("say either --audio-in and a recording, or --typed and a typed talk.")
    card = JobCard(asset, customer, meter, meter_note)

    options = {
        "operator": operator, "model": model, "voice": voice, "rate": rate, "synthesiser": synthesiser,
        "tools": _whole(tools),
    }  # fmt: skip
    page = _display(display, display_host, display_port, touch=False)
    if typed is not None:
        if audio_out is not None:
            raise typer.BadParameter(
                "a typed talk has no sound: leave out --audio-out, or give a recording with --audio-in."
            )
        from assistant.rehearsal.typed import run_typed

        if begin is not None and not 1971 <= begin.year <= 2999:
            raise typer.BadParameter("--begin must be a day from 1971 to 2999.")
        started = None if begin is None else begin.timestamp()
        raise typer.Exit(
            run_typed(procedure, typed, card=card, options=options, job=job, as_json=json, begin=started,
                      trial=trial, display_options=page, real_time=real_time)
        )  # fmt: skip
    if audio_in is not None:
        from assistant.rehearsal.recorded import run_rehearsal

        if json or trial or begin is not None:
            raise typer.BadParameter("--json, --trial and --begin belong to a typed talk: give one with --typed.")
        raise typer.Exit(
            run_rehearsal(procedure, audio_in, audio_out, card=card, options=options, job=job, display_options=page,
                          real_time=real_time)
        )  # fmt: skip


def add_work(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    for command in (
        run,
        resume,
        rehearse,
    ):
        app.command()(command)
