"""Every kind of entry that a session writes: one table, read by whoever makes a record of the job.

Inputs come first in their answer, and the facts that they caused follow. Every fact also has ``by``: "voice", "key",
"pedal", "touch" or "clock". ``step`` is the id of a step; stages and runs count from one; decimals travel as text.

A job keeps to the rules that it was opened under (``rules`` of its first entry; 1 when that is missing), so that an old
journal is still built again entry by entry. Fields and kinds marked "(2)" came with the second rules, those
marked "(3)" with the third.
"""

from __future__ import annotations

from collections.abc import Mapping

INPUTS: Mapping[str, str] = {
    "opened": "The job began; rules (2), and the caller's fields. Of those the session reads keep_audio, and "
    "tools_file, tools_yaml and tool_clicks (by wrench, what other jobs did since its calibration).",
    "heard": "An utterance or key that was understood: text, confidence, started_ms, ended_ms, source, clarity, "
    "intent, number (text or null), words (dictated text or empty); (3) hazard_heard where a hazard waits: how far "
    "it was heard before (all, avoid: with how to avoid it but not to its end, part: not so far).",
    "unclear": "An utterance that was not understood: text, confidence, started_ms, ended_ms, source, clarity, why; "
    "(3) hazard_heard.",
    "clock": "A time came that matters: due_ms.",
    "clock_stepped": "(3) The computer's clock was set while the job ran, or before it was resumed: by_ms (negative: "
    "back), when (running, between). The job's own time did not move.",
    "resumed": "The job was taken up again after an interruption; with tools_file, tools_yaml, tools_sha256 and "
    "tool_clicks when another tool file is used from here on, and with operator when somebody else goes on.",
}
INPUT_KINDS = frozenset(INPUTS)

_TIGHTENED = (
    "step, stage, run, group, bolts, target (value, unit, further; null for loosening until no force is left), "
    "repeated; of (2): turn (pass of the step: a repeated stage counts again), way (torque, angle, loosen, check), "
    "limits (low, high: text or null, in the unit of the target), drag (value, unit; or null), tool, adapter, "
    "multiplier (ids of the tool file, or null), setting (value, unit; or null) of the wrench, clicks (of the wrench), "
    "reading (value, unit; or null), verdict (within, below, above; null without a reading or without limits); of (3): "
    "tolerance (percent of the target that a reading was held to where the procedure leaves a limit out, or null; with "
    "it there is always a verdict), multiplier (also of a further angle that is turned through it)."
)

FACTS: Mapping[str, str] = {
    "prepared": "what (conditions, persons, equipment, supplies, spares), things, repeated; missing (those of things "
    "that are not there) when there are any.",
    "item_missing": "what, thing, place (key of the card), number (of the thing on it, from one).",
    "item_found": "what, thing, place, number: it is no longer missing.",
    "handing_over": "left_by: who works on the job leaves it, and nobody has taken it over yet.",
    "handed_over": "left_by, taken_by (name, or empty when none was given).",
    "hazard_acknowledged": "place (step id, or safety and its number), number (from one), word, hazard; (3) heard "
    "(all, avoid or part), as far as it was read out before.",
    "step_done": "step, repeated.",
    "check_answered": "step, answer (yes or no), expected (yes or no), as_expected, repeated.",
    "reading": "step, value, unit, low, high (text or null), in_limits, repeated.",
    "counted": "step, group, direction (out or in), count, expected, matches, repeated.",
    "part_fitted": "step, spare, count, expected, matches, repeated.",
    "run_tightened": f"{_TIGHTENED} A long run has several.",
    "bolt_tightened": f"The same for one bolt. {_TIGHTENED}",
    "stage_done": "step, stage, stages, not_tightened (bolts left out with a reason), turn (2).",
    "tools_chosen": "(2) Said before a stage begins: step, stage, turn, choices (for each run: run, group, tool, "
    "adapter, multiplier, setting, at_bolt, accuracy in percent; null where nothing suits), gauge (id of the angle "
    "gauge, or null), faults and warnings (sentences; from (3) on lists of code and tool, an id or null), changes (of "
    "tool within the stage), first (3) (for each run: code and tool that the procedure names and that is not used so).",
    "out_of_limits": "(2) step, stage, turn, run, group, bolts (one), reading (value, unit), limits (low, high), "
    "verdict (below or above), tolerance (3) (percent, or null): the bolt waits for a decision.",
    "bolt_again": "(2) step, stage, turn, group, bolts (one): it is done again after a reading out of limits.",
    "bolts_loosened": "(3) step, stage, turn, group, bolts: they got their further angle, were loosened, and begin "
    "again with the first stage.",
    "bolt_replaced": "(2) step, stage, turn, group, bolts (one): a new one begins again with the first stage.",
    "new_confirmed": "(2) step, group, bolts (all of the group; (3) or those that were loosened): fasteners of single "
    "use are new.",
    "unit_chosen": "(2) unit in which torque values are spoken and readings taken, or null for that of the procedure.",
    "long_pause": "(2) step, stage, turn, group, seconds since its torque, before a further angle.",
    "timer_started": "timer, name, kind, seconds, repeated, ends_ms.",
    "timer_warned": "timer, seconds_left.",
    "timer_ended": "timer, name, kind.",
    "timer_agreed": "(3) timer, seconds_left: the computer's clock had been set, and it is right all the same.",
    "timer_stopped": "timer; the last step that had to come before its end is done, or left out; (3) left_out (those).",
    "timer_runs_on": "(3) timer, ends_ms: a step that had to come before its end and was left out is come back to.",
    "note": "step (or null), text, complete (false when silence ended it, or when words did not fit (3)).",
    "problem": "step (or null), text, complete (false when silence ended it, or when words did not fit (3)).",
    "skipped": "step or place, what (step, place or bolts), reason, hazards_not_read (how many, of a step); "
    "stage, run, group, bolts and turn (2) of bolts.",
    "deviation": "step, what (count, part, reading, answer, wait, open_time, bolt_reading, missing), reason, and what "
    "it allows (count, answer, value and unit, timer, seconds_left, stage, turn, group and bolts, things).",
    "asked": "what, question: something was read back and waits for confirmed.",
    "cancelled": "what, why (said or silence).",
    "moved": "to (key of the place): back, or on past something that was done before.",
    "paused": "Listening only for carry on.",
    "carried_on": "The end of a pause.",
    "closed": "open_steps, open_counts (groups), open_stages (step, stage), open_parts (steps), reason; of (3): "
    "open_problems (for each its step, or null), open_answers and open_values (steps whose answer or value is not as "
    "it should be), open_bolts (step, turn, bolt: out of limits), left_out (places); before (3): open (words).",
}
"""Kind of fact, and its fields."""
