"""What every step may have in a file, and how a kind of step adds its own keys."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from assistant.procedure.format.base import Alternatives, Given, Key
from assistant.procedure.format.branches import OFFER
from assistant.procedure.format.forms import (
    COMMAND,
    ID,
    IDS,
    MINUTES,
    PICTURE,
    TEXT,
    TOLD,
    YES_NO,
    refers,
    refers_each,
    whole,
)
from assistant.procedure.format.records import KeyTable, article, must
from assistant.procedure.format.step_list import STEP_FORMAT, StepFormat, formats
from assistant.procedure.format.things import HAZARDS
from assistant.procedure.kinds import KINDS
from assistant.procedure.model import Step

_S = TypeVar("_S", bound=Step)

STEP_KEYS = (
    Key("id", ID, "Name of the step in the record; left out, it is step- and its number."),
    Key("hazards", HAZARDS, "Hazards that are read, and confirmed, before the step."),
    Key("info", TOLD, "More about the step, spoken when it is asked for."),
    Key("why", TOLD, "Why the step is done, spoken when somebody asks why."),
    Key("tools", refers_each("support equipment"), "Ids of the support equipment that it needs."),
    Key("supplies", refers_each("supply"), "Ids of the supplies that it needs."),
    Key("minutes", MINUTES, "How long it takes, in minutes."),
    Key("starts", refers("timer"), "The timer that starts when the step is confirmed.", "starts_timer", default=None),
    Key("before", refers("timer"), "The open-time timer that must still run when the step is confirmed; not in a wait "
        "step.", "before_timer", default=None),
    Key("refits", ID, "Id of the step that took off what this one puts back, where the words do not show it.",
        default=None),
    Key("not_refitted", TEXT, "Why what this step takes off stays off."),
    Key("lock", refers("support equipment"), "Id of the tool that this step puts in, and that locks the machine from "
        "then on.", default=None),
    Key("unlock", refers("support equipment"), "Id of the lock that this step takes out.", default=None),
    Key("turns", YES_NO, "yes when the step turns the machine; no when it turns nothing that a lock holds.",
        default=None),
    Key("against", refers_each("support equipment"), "Ids of the locks that are in and may bear the torque of this "
        "step."),
    Key("offer", OFFER, "Work that is worth doing while this step lets it be done."),
    Key("needs", IDS, "Ids of the steps that must be done before this one; [] when it needs none. Left out, it is the "
        "step before.", default=None),
    Key("picture", PICTURE, "A photo or a drawing for the page: a PNG or JPEG file that lies beside this one."),
    Key("gate", YES_NO, "yes when nothing passes the step but its right answer, or a second person who releases it."),
    Key("witness", YES_NO, "yes when a second person looks at what was done and says so."),
    Key("photo", YES_NO, "yes when a photo is taken of it; without one it is left for a reason alone."),
    Key("people", whole(9, 1), "How many people it takes; one when left out. The plan goes by it."),
    Key("helper", YES_NO, "yes when a second person may do it alone, beside other work. The plan goes by it."),
)  # fmt: skip
"""The keys that every step may have."""


def step_format(
    kind: type[_S],
    name: str,
    means: str,
    *keys: Key,
    check: Callable[[Given], None] | None = None,
    parts: Callable[[_S], Mapping[str, Any]] | None = None,
    alternatives: Alternatives | None = None,
    spread: Callable[[dict[str, Any]], None] | None = None,
) -> StepFormat:
    """Make the kind of step ``kind`` known to the file format.

    The key ``name`` makes it, and holds its text, which is what ``means`` says; ``keys`` are those that only this kind
    has. ``check`` complains about values that do not go together.
    """

    def make(given: Given) -> _S:
        if check is not None:
            check(given)
        values = given.values()
        values["id"] = values["id"] or given.context.made.get("step id", "")
        return kind(**values, line=given.line)

    own = (must(name, COMMAND, means, "text"), *keys)
    record = KeyTable(f"{name} step", (*own, *STEP_KEYS), make, parts, alternatives, elsewhere=_elsewhere)
    return KINDS.add(kind, STEP_FORMAT, StepFormat(name, own, record, spread))


def _elsewhere(key: str) -> str:
    return " or ".join(
        f"{article(name)} {name} step" for name, one in formats().items() if key in {own.name for own in one.own}
    )
