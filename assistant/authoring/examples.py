"""Short examples in the comments of a skeleton: what nobody asked for, but what an author can have.

Each stands below a comment that ends in "example:", and is what ``assistant check`` takes once its # are gone.
None of the values is one to work with.
"""

from __future__ import annotations

from assistant.authoring.text import example

HOW_TO_USE = 'What stands below a comment that ends in "example:" is one: take the # away, and write what is yours.'

SHOW_PERSONS = example(
    "a second person, whom a gate or a witness needs", [{"kind": "second person", "count": "1"}], indent=4
)
SHOW_TIMERS = example("timers that the steps start or wait for", {"timers": [
    {"id": "curing", "name": "curing time", "cure": "5 min"},
]})  # fmt: skip

SHOW_BRANCH = example("what is done only when the answer is no, and then the check again", [
    {"check": "Are both faces clean?", "if no": {
        "title": "clean the faces again", "then": "again", "steps": [{"do": "Wipe both faces once more."}],
    }},
], indent=6)  # fmt: skip
SHOW_READINGS = example("a table of readings", [
    {"measure": "Measure the gaps.", "for each": "corner", "of": "1-4",
     "readings": [{"name": "upper", "limits": "0.10 to 0.30 mm"}, {"name": "lower", "limits": "0.10 to 0.30 mm"}]},
], indent=6)  # fmt: skip
SHOW_CHECK = example("nothing passes a gate but its right answer; a witness looks too", [
    {"check": "Do both marks line up?", "gate": "yes", "witness": "yes"},
], indent=6)  # fmt: skip
SHOW_WAIT = example("what goes on while something cures: needs says what a step depends on", [
    {"id": "cure-begins", "do": "Press both faces together.", "starts": "curing"},
    {"do": "Write the label.", "needs": [], "minutes": "2"},
    {"wait": "Let it cure.", "timer": "curing", "needs": ["cure-begins"]},
], indent=6)  # fmt: skip
SHOW_AMOUNT = example("how much is filled in; how much it really was is asked for", [
    {"do": "Fill the bearing cup.", "amount": "50 ml"},
], indent=6)  # fmt: skip


def passes(group: str, torque: str, first: int) -> str:
    """Return a stage whose passes check the ``torque`` at all bolts of a ``group``, and at its ``first`` once more.

    It only checks, because an example that is taken over as it stands must not turn a bolt any further.
    """
    made = [
        {"torque": torque, "purpose": "check", "tool": "torque-wrench", "runs": [{"group": group, "bolts": bolts}]}
        for bolts in ("all", str(first))
    ]
    what = "a stage with passes, each with its own value, bolts and tool"
    return example(what, [{"label": "Final check", "passes": made}], indent=10)
