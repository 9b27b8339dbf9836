"""Notes and problems as they count: in the words that were said last, unless that was taken back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.facts.correcting import NoteAsBefore, NoteCorrected
from assistant.facts.people import Noted, ProblemNoted
from assistant.journal.port import Entry
from assistant.report.record.model import Note


def notes_that_count(entries: Sequence[Entry]) -> tuple[Note, ...]:
    """Return the notes and problems of a job in order, each under the entry in which it was first said."""
    ways: list[list[Note]] = []
    """Of each note, the ways in which it counted, the newest at the end."""
    for entry in entries:
        match entry.fact:
            case Noted() | ProblemNoted() as fact:
                first = Note(entry.seq, entry.at_ms, entry.kind, fact.step or "", fact.text, fact.complete)
                ways.append([first])
            case NoteCorrected(note=number, text=text, complete=complete) if 1 <= number <= len(ways):
                was = ways[number - 1]
                was.append(replace(was[-1], text=text, complete=complete, corrected=entry.seq))
            case NoteAsBefore(note=number) if 1 <= number <= len(ways) and len(ways[number - 1]) > 1:
                ways[number - 1].pop()
    return tuple(was[-1] for was in ways)
