"""Every kind of entry that a session writes: one table, read by whoever makes a record of the job.

Inputs come first in their answer, and the facts that they caused follow. Every fact also has ``by``: "voice", "key",
"pedal" or "clock". ``step`` is the id of a step; stages and runs count from one; decimals travel as text.
"""

from __future__ import annotations

from collections.abc import Mapping

INPUTS: Mapping[str, str] = {
    "opened": "The job began; the fields are those that the caller gave.",
    "heard": "An utterance or key that was understood: text, confidence, started_ms, ended_ms, source, clarity, "
    "intent, number (text or null), words (dictated text or empty).",
    "unclear": "An utterance that was not understood: text, confidence, started_ms, ended_ms, source, clarity, why.",
    "clock": "A time came that matters: due_ms.",
    "resumed": "The job was taken up again after an interruption.",
}
INPUT_KINDS = frozenset(INPUTS)

FACTS: Mapping[str, str] = {
    "prepared": "what (conditions, persons, equipment, supplies, spares), things, repeated.",
    "hazard_acknowledged": "place (step id, or safety and its number), number (from one), word, hazard.",
    "step_done": "step, repeated.",
    "check_answered": "step, answer (yes or no), expected (yes or no), as_expected, repeated.",
    "reading": "step, value, unit, low, high (text or null), in_limits, repeated.",
    "counted": "step, group, direction (out or in), count, expected, matches, repeated.",
    "part_fitted": "step, spare, count, expected, matches, repeated.",
    "run_tightened": "step, stage, run, group, bolts, target (value, unit, further), repeated. A long run has several.",
    "bolt_tightened": "step, stage, run, group, bolts (one), target (value, unit, further), repeated.",
    "stage_done": "step, stage, stages, not_tightened (bolts left out with a reason).",
    "timer_started": "timer, name, kind, seconds, repeated, ends_ms.",
    "timer_warned": "timer, seconds_left.",
    "timer_ended": "timer, name, kind.",
    "timer_stopped": "timer; the last step that had to come before its end is done.",
    "note": "step (or null), text, complete (false when silence ended it).",
    "problem": "step (or null), text, complete (false when silence ended it).",
    "skipped": "step or place, what (step, place or bolts), reason, hazards_not_read (how many, of a step); "
    "stage, run, group and bolts of bolts.",
    "deviation": "step, what (count, part, reading, answer, wait, open_time), reason, and what it allows "
    "(count, answer, value and unit, timer, seconds_left).",
    "asked": "what, question: something was read back and waits for confirmed.",
    "cancelled": "what, why (said or silence).",
    "moved": "to (key of the place): back, or on past something that was done before.",
    "paused": "Listening only for carry on.",
    "carried_on": "The end of a pause.",
    "closed": "open (what was left open, in words), open_steps, open_counts, open_stages, open_parts, reason.",
}
"""Kind of fact, and its fields."""
