"""``assistant test-hearing``: how well recordings are heard, in numbers that can be compared."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from rich.console import Console
from rich.progress import track

from assistant.bay.job import settings_for
from assistant.bay.refusing import guarded
from assistant.events import NUMBERS, Clarity, Grammar, Heard, Slot, Thresholds
from assistant.hearing.listen import ListeningPlan, listen, listen_to_running_speech
from assistant.hearing.manifest import Recording, as_recognised, read_manifest
from assistant.hearing.options import HearingOptions
from assistant.hearing.score import CLEAN, HourlyRate, Marks, Share, SnrRow, Trial, as_meant, confusions, snr_rows
from assistant.language.chosen import LANGUAGE
from assistant.session.intents import INTENTS
from assistant.session.understanding import alike_phrases
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import STDOUT, check_free
from assistant.terminal.streams import write_stdout
from assistant.terminal.tables import table
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.model_files import model_folder

PICTURES = (".png", ".svg", ".pdf")
USUAL_SNRS = "20,10,5,0,-5"
_CONFUSIONS = 8
_T = TypeVar("_T")


def run_hearing_test(manifest: Path | None, wanted: HearingOptions) -> Exit:
    """Listen to all that ``manifest`` lists, print what came of it, and write what was ``wanted``."""
    return guarded(lambda: _hearing_test(manifest, wanted))


def _hearing_test(manifest: Path | None, wanted: HearingOptions) -> Exit:
    if manifest is None and wanted.negatives is None:
        raise Refusal("Name a list of recordings, or running speech with --negatives.", Exit.USAGE)
    _check_outputs(wanted)
    recordings = _some(read_manifest(manifest), wanted.limit) if manifest else []
    negatives = _some(read_manifest(wanted.negatives, ["path"]), wanted.limit) if wanted.negatives else []
    words = _listed(wanted.closed or wanted.words)
    noise = tuple(one.path for one in read_manifest(wanted.noise, ["path"])) if wanted.noise else ()
    settings = settings_for(wanted)
    model = model_folder(settings.model)
    loaded = VoskRecogniser(LANGUAGE, model)
    grammar = Grammar(tuple(words)) if words else phrases_for(recording.label for recording in recordings)
    _check_words(loaded, grammar)
    plan = ListeningPlan(model, grammar, bool(wanted.closed), noise, _snrs(wanted))
    marks = Marks(words, None if plan.closed else loaded.limits)
    told: dict[str, Any] = {"model": str(model), **_about(plan, words, loaded.limits)}
    if recordings:
        print(f"{_heading(plan, words)}; {_count(recordings)}. Model: {model}")
        found = [trial for trials in _watched(listen(plan, recordings), len(recordings)) for trial in trials]
        counted = snr_rows(found, marks)
        _print_rows(counted, found, marks)
        told["rows"] = [_row_data(row) for row in counted]
        if wanted.picture:
            from assistant.hearing.picture import draw  # noqa: PLC0415 - matplotlib takes a second to load

            draw(counted, f"{_heading(plan, words)}, {_count(recordings)}", wanted.picture)
            print(f"Picture: {wanted.picture}")
    if negatives:
        told["negatives"] = _running_speech(plan, negatives, Marks(words, loaded.limits))
    if wanted.json:
        _write(wanted.json, told)
    return Exit.OK


def _check_outputs(wanted: HearingOptions) -> None:
    """Refuse what could not be written at the end, before a long measurement is made."""
    for path, form in ((wanted.json, "json"), (wanted.picture, "")):
        if path is not None:
            check_free(path, force=True, form=form)
    if wanted.picture is not None and wanted.picture.suffix.lower() not in PICTURES:
        raise Refusal(f"{wanted.picture} is no picture that can be drawn: name it .png, .svg or .pdf.", Exit.USAGE)


def phrases_for(labels: Iterable[str]) -> Grammar:
    """Return all phrases of the assistant at once, harder than any state of a job.

    Those with a number are among them when one of ``labels`` has a number: no state takes numbers and all else at once.
    """
    slots = tuple(
        Slot.of(phrase, intent.slot)
        for intent in INTENTS
        if intent.slot in NUMBERS
        for phrase in LANGUAGE.phrases.phrases(intent.name)
    )
    numbers = any((meant := as_meant(label)) is not None and meant[1] is not None for label in labels)
    phrases = tuple(
        phrase for intent in INTENTS if intent.slot is None for phrase in LANGUAGE.phrases.phrases(intent.name)
    )
    alike = alike_phrases((intent.name for intent in INTENTS), LANGUAGE)
    return Grammar(phrases, slots if numbers else (), alike=alike)


def _some(recordings: list[Recording], limit: int) -> list[Recording]:
    """Return ``limit`` of the recordings, drawn by lot but always the same; 0 means all."""
    if not 0 < limit < len(recordings):
        return recordings
    drawn = np.random.default_rng(1).permutation(len(recordings))[:limit]
    return [recordings[number] for number in sorted(drawn)]


def _listed(text: str) -> list[str]:
    words = [as_recognised(word) for word in text.split(",")] if text else []
    if text and (len(words) < 2 or not all(words)):
        raise Refusal('Give at least two words, parted by commas, for example "left,right".', Exit.USAGE)
    return list(dict.fromkeys(words))


def _snrs(wanted: HearingOptions) -> tuple[float, ...]:
    if wanted.noise is None:
        if wanted.snr:
            raise Refusal("--snr needs recordings of noise: add --noise LIST.tsv.", Exit.USAGE)
        return ()
    try:
        snrs = [float(part) for part in (wanted.snr or USUAL_SNRS).split(",") if part.strip() not in ("", CLEAN)]
    except ValueError as fault:
        raise Refusal(f'"{wanted.snr}" is no list of decibels: write for example 20,10,5,0,-5.', Exit.USAGE) from fault
    if not all(-60 <= snr <= 100 for snr in snrs):
        raise Refusal("An SNR must be from -60 to 100 decibels.", Exit.USAGE)
    return tuple(dict.fromkeys(snrs))


def _check_words(loaded: VoskRecogniser, grammar: Grammar) -> None:
    missing = loaded.unknown_words({word for phrase in grammar.phrases for word in phrase.split()})
    if missing:
        named = ", ".join(f'"{word}" (it knows "{near}")' if near else f'"{word}"' for word, near in missing.items())
        raise Refusal(f"This model cannot hear {named}: take other words, or another model with --model.", Exit.USAGE)


def _watched(results: Iterator[_T], count: int) -> Iterator[_T]:
    yield from track(results, "Listening", total=count, console=Console(stderr=True), transient=True)


def _count(recordings: Sequence[Recording]) -> str:
    speakers = len({recording.speaker for recording in recordings if recording.speaker})
    return f"{len(recordings)} recordings" + (f" of {speakers} speakers" if speakers else "")


def _heading(plan: ListeningPlan, words: Sequence[str]) -> str:
    if plan.closed:
        return f"Closed set of {len(words)} words"
    return f"{len(words)} words, and the unknown word" if words else "The assistant's phrases, and the unknown word"


def _about(plan: ListeningPlan, words: Sequence[str], limits: Thresholds) -> dict[str, Any]:
    numbers = [f"{slot.before} <{slot.kind}> {slot.after}".strip() for slot in plan.grammar.slots]
    return {
        "set": "closed" if plan.closed else "words" if words else "phrases",
        "words": [*plan.grammar.phrases, *numbers],
        "limits": None if plan.closed else asdict(limits),
        "noise": len(plan.noise),
    }


def _print_rows(counted: Sequence[SnrRow], found: Sequence[Trial], marks: Marks) -> None:
    head = ("SNR", "n", "recall", "wrong", "miss", "others", "false accept")
    lines = [
        (
            CLEAN if row.snr is None else f"{row.snr:g} dB", str(row.recall.trials), _shown(row.recall),
            _shown(row.wrong), _shown(row.miss), str(row.false_accept.trials), _shown(row.false_accept),
        )
        for row in counted
    ]  # fmt: skip
    print(table(head, lines))
    print("In brackets: 95 % intervals. others: recordings whose label is not in the set; false accept: of these.")
    often = confusions(found, marks).most_common(_CONFUSIONS)
    if often:
        print("Most often: " + "; ".join(f'"{said}" taken for "{heard}" {n}' for (said, heard), n in often) + ".")


def _shown(share: Share) -> str:
    if share.value is None:
        return "-"
    low, high = share.interval
    return f"{100 * share.value:.1f} % ({100 * low:.1f} to {100 * high:.1f})"


def _row_data(row: SnrRow) -> dict[str, Any]:
    data: dict[str, Any] = {"snr": CLEAN if row.snr is None else row.snr, "n": row.recall.trials}
    for name in ("recall", "wrong", "miss", "false_accept"):
        share: Share = getattr(row, name)
        data[name] = share.value
        data[f"{name}_interval"] = list(share.interval) if share.trials else None
    return data | {"n_other": row.false_accept.trials}


def _running_speech(plan: ListeningPlan, negatives: Sequence[Recording], marks: Marks) -> dict[str, Any]:
    """Listen to running speech with the unknown word and the limits, whatever the recordings were heard with."""
    seconds, accepted = 0.0, []
    listening = listen_to_running_speech(replace(plan, closed=False), negatives)
    for length, heard in _watched(listening, len(negatives)):
        seconds += length
        accepted += [one.text for one in heard if marks.accepted(_trial(one))]
    rate = HourlyRate(len(accepted), seconds / 3600)
    critical = [text for text in accepted if marks.is_critical(text)]
    low, high = rate.interval
    print(f"Running speech, {rate.hours:.2f} h: {rate.count} whole utterances accepted, {rate.per_hour:.2f} an hour "
          f"({low:.2f} to {high:.2f}), {len(critical)} of them critical.")  # fmt: skip
    if accepted:
        print("Accepted: " + ", ".join(sorted(accepted)) + ".")
    return {
        "hours": rate.hours, "accepts": rate.count, "per_hour": rate.per_hour, "per_hour_interval": [low, high],
        "critical": len(critical), "phrases": sorted(accepted),
    }  # fmt: skip


def _trial(heard: Heard) -> Trial:
    text = heard.text if heard.clarity is Clarity.PHRASE else ""
    return Trial("", "", None, text, heard.confidence)


def _write(path: Path, told: dict[str, Any]) -> None:
    data = (json.dumps(told, indent=1) + "\n").encode()
    try:
        if path == STDOUT:
            write_stdout(data)
        else:
            path.write_bytes(data)
    except OSError as fault:
        raise Refusal(f"The figures cannot be written to {path} ({fault.strerror}).", Exit.OUTPUT) from fault
    print(f"Figures: {path}", file=sys.stderr)
