"""How well it hears: test-hearing, mic-check."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.cli.options import Loudspeaker, Microphone, Model, Volume

_List = Annotated[
    Path | None,
    typer.Argument(metavar="[MANIFEST.tsv]", help="The list: path, label, speaker, seconds, parted by tabs."),
]


def hearing_test(
    manifest: _List = None,
    noise: Annotated[Path | None, typer.Option(metavar="MANIFEST.tsv", help="Recordings of noise to add.")] = None,
    snr: Annotated[str, typer.Option(metavar="20,10,5,0,-5", help="Levels over the noise, in dB.")] = "",
    closed: Annotated[str, typer.Option(metavar="WORD,WORD", help="Forced choice among these, no unknown word.")] = "",
    words: Annotated[str, typer.Option(metavar="WORD,WORD", help="These words, the unknown word, the limits.")] = "",
    phrases: Annotated[bool, typer.Option("--phrases", help="The assistant's own phrases (the usual).")] = False,
    limit: Annotated[int, typer.Option(min=0, metavar="N", help="Only so many recordings, drawn by lot.")] = 0,
    negatives: Annotated[
        Path | None, typer.Option(metavar="MANIFEST.tsv", help="Running speech in which nothing is meant for it.")
    ] = None,
    json: Annotated[Path | None, typer.Option(metavar="OUT.json", help="Write the figures here.")] = None,
    picture: Annotated[Path | None, typer.Option(metavar="OUT.png", help="Draw them here (png, svg, pdf).")] = None,
    record: Annotated[
        bool, typer.Option("--record", help="Make the list: record your own voice, prompted by voice, in ten minutes.")
    ] = False,
    microphone: Microphone = None,
    loudspeaker: Loudspeaker = None,
    model: Model = None,
) -> None:
    """Measure how well recordings are heard, in noise as well: recall, wrong, missed, falsely accepted, intervals.

    Each recording is heard anew, by itself. Paths are relative to the list; any sound file and sampling rate will do.
    """
    if record:
        from assistant.hearing.record import run_record

        if manifest is None:
            raise typer.BadParameter("name the list to make: assistant test-hearing LIST.tsv --record")
        options = {"microphone": microphone, "loudspeaker": loudspeaker, "model": model}
        raise typer.Exit(run_record(manifest, options=options))
    from assistant.hearing.measuring import Wanted, run_hearing_test

    if sum(map(bool, (closed, words, phrases))) > 1:
        raise typer.BadParameter("take one of --closed, --words and --phrases")
    wanted = Wanted(manifest, noise, snr, closed, words, limit, negatives, json, picture, model)
    raise typer.Exit(run_hearing_test(wanted))


def mic_check(
    microphone: Microphone = None,
    loudspeaker: Loudspeaker = None,
    volume: Volume = None,
    model: Model = None,
    store: Annotated[bool, typer.Option("--store/--no-store", help="Store the devices for run and resume.")] = True,
) -> None:
    """Check microphone and loudspeaker in the real bay: noise, level, clipping, echo, and eight phrases.

    It says what was heard and what to change, and stores the devices for the next job when half of the phrases were
    understood.
    """
    from assistant.hearing.mic_check import run_mic_check

    options = {"microphone": microphone, "loudspeaker": loudspeaker, "volume": volume, "model": model}
    raise typer.Exit(run_mic_check(options=options, store=store))


def add_hearing(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    app.command("test-hearing")(hearing_test)
    app.command()(mic_check)
