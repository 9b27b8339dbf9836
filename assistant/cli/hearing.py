"""How well it hears: test-hearing, mic-check, voice."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated

import typer

from assistant.cli.options import takes
from assistant.hearing.options import HearingOptions, MicCheckOptions, VoiceOptions

_List = Annotated[
    Path | None,
    typer.Argument(
        metavar="[MANIFEST.tsv]", readable=False, help="The list: path, label, speaker, seconds, parted by tabs."
    ),
]

_Name = Annotated[str, typer.Argument(metavar="[NAME]", help="Whose voice, as --operator names the person.")]


@takes(
    noise=typer.Option(metavar="MANIFEST.tsv", readable=False, help="Recordings of noise to add."),
    snr=typer.Option(metavar="20,10,5,0,-5", help="Levels over the noise, in dB."),
    closed=typer.Option(metavar="WORD,WORD", help="Forced choice among these, no unknown word."),
    words=typer.Option(metavar="WORD,WORD", help="These words, the unknown word, the limits."),
    phrases=typer.Option("--phrases", help="The assistant's own phrases (the usual)."),
    limit=typer.Option(min=0, metavar="N", help="Only so many recordings, drawn by lot."),
    negatives=typer.Option(
        metavar="MANIFEST.tsv", readable=False, help="Running speech in which nothing is meant for it."
    ),
    json=typer.Option(metavar="OUT.json", help="Write the figures here."),
    picture=typer.Option(metavar="OUT.png", help="Draw them here (png, svg, pdf)."),
    record=typer.Option("--record", help="Make the list: record your own voice, prompted by voice, in ten minutes."),
)
def hearing_test(options: HearingOptions, manifest: _List = None) -> None:
    """Measure how well recordings are heard, in noise as well: recall, wrong, missed, falsely accepted, intervals.

    Each recording is heard anew, by itself. Paths are relative to the list; any sound file and sampling rate will do.
    """
    if options.record:
        from assistant.hearing.record import run_record

        if manifest is None:
            raise typer.BadParameter("name the list to make: assistant test-hearing LIST.tsv --record")
        raise typer.Exit(run_record(manifest, options))
    from assistant.hearing.measuring import run_hearing_test

    if sum(map(bool, (options.closed, options.words, options.phrases))) > 1:
        raise typer.BadParameter("take one of --closed, --words and --phrases")
    raise typer.Exit(run_hearing_test(manifest, options))


@takes(store=typer.Option("--store/--no-store", help="Store the devices for run and resume."))
def mic_check(options: MicCheckOptions) -> None:
    """Check microphone and loudspeaker in the real bay: noise, level, clipping, echo, and eight phrases.

    It says what was heard and what to change, and stores the devices for the next job when half of the phrases were
    understood.
    """
    from assistant.hearing.mic_check import run_mic_check

    raise typer.Exit(run_mic_check(options))


@takes(
    recordings=typer.Option(
        "--from",
        metavar="LIST.tsv",
        readable=False,
        help="Recordings of this voice, as test-hearing --record makes them.",
    ),
    list=typer.Option("--list", help="Print whose voices are known, for which model and microphone, what they bring."),
    forget=typer.Option("--forget", help="Remove the profile of this voice and its recordings, for good."),
)
def voice(options: VoiceOptions, name: _Name = "") -> None:
    """Make a profile of a voice in five minutes, prompted by voice, so that this person is heard better.

    It is used whenever NAME is who works on a job, and only if it helps. Control-C breaks off; the next start goes on.
    """
    # Products of small tables: threads that wait for each other in a loop make them many times slower. Numpy asks once.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from assistant.hearing.own_voice import run_voice

    if not name and not options.list:
        raise typer.BadParameter("name the person, as the job will: assistant voice NAME; or give --list")
    raise typer.Exit(run_voice(name, options))


def add_hearing(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    app.command("test-hearing")(hearing_test)
    app.command()(mic_check)
    app.command()(voice)
