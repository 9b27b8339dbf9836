"""The rules about locks: tools that hold a machine still, by the keys lock, unlock, turns and against.

What the keys say is certain, and an error when it does not fit. Words are only a hint that a key may be missing. Run
from ``table.py``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from assistant.faults import Fault
from assistant.language.topics.procedure import Machine
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.model import Step


@rule
def locks_come_out(draft: Draft) -> Iterator[Complaint]:
    """Take out again, in a later step, every lock that a step puts in, and only what is in."""
    put: dict[str, Step] = {}
    for step in draft.sound_steps():
        if step.unlock and step.unlock not in put:
            text = f'The lock "{step.unlock}" comes out here and no step before puts it in'
            yield Complaint(draft.places.of(step, "unlock"), text, f"write lock: {step.unlock} in the step that does")
        put.pop(step.unlock or "", None)
        if step.lock and step.lock in put:
            text = f'The lock "{step.lock}" goes in here and is in since the step "{put[step.lock].id}"'
            yield Complaint(draft.places.of(step, "lock"), text, "take it out between them, or take one lock: out")
        elif step.lock:
            put[step.lock] = step
    for name, step in put.items():
        text = f'The lock "{name}" goes in here and no later step takes it out'
        yield Complaint(draft.places.of(step, "lock"), text, f"write unlock: {name} in the step that does")


@rule
def turns_unlocked(draft: Draft) -> Iterator[Complaint]:
    """Turn the machine with no lock in, and tighten against a lock only where the step says that it may bear it."""
    for step, locks in locked(draft):
        for place, name in enumerate(step.against):
            if name not in locks:
                text = f'The lock "{name}" is not in when this step counts on it'
                hint = f"write lock: {name} in the step before that puts it in"
                yield Complaint(draft.places.of(step, "against", place), text, hint)
        named = " and ".join(f'"{name}"' for name in locks)
        if locks and step.turns:
            text = f"This step turns the machine and the lock {named} is in"
            hint = "take it out in a step before, with unlock:"
            yield Complaint(draft.places.of(step, "turns"), text, hint)
        elif step.traits.loads and step.turns is None:
            loose = [name for name in locks if name not in step.against]
            for name in loose:
                text = f'This step tightens while the lock "{name}" is in'
                hint = (
                    f"write against: [{name}] when the lock may bear it, turns: no when nothing that it holds is "
                    "loaded, or take it out before"
                )
                yield Complaint(draft.step_place(step), text, hint)


@rule
def locks_are_marked(draft: Draft) -> Iterator[Complaint]:
    """Mark with lock, unlock and turns what the words of a step say of locks and of turning."""
    steps, machine = draft.sound_steps(), draft.written.machine
    names = {item.id: item.name for item in draft.procedure.support_equipment if machine.is_lock(item.name)}
    marked = {name for step in steps for name in (step.lock, step.unlock)}
    bolted = [group.name for group in draft.procedure.groups]
    seen: set[str] = set()
    for step in steps:
        new = [name for name in step.tools if name in names and name not in marked | seen]
        seen.update(step.tools)
        told = _unmarked(step, new[0] if new else "", bolted, machine)
        if told is not None:
            yield Complaint(draft.step_place(step), told.reason, told.advice, Level.WARNING)
    for step, locks in locked(draft):
        if locks and step.turns is None and step.traits.may_turn and machine.turns(step.text):
            text = f'This sounds like turning the machine while the lock "{locks[0]}" is in'
            hint = "write turns: yes when it does, and turns: no when it does not"
            yield Complaint(draft.step_place(step), text, hint, Level.WARNING)


def _unmarked(step: Step, tool: str, bolted: Sequence[str], machine: Machine) -> Fault | None:
    """Return what is to be said of a step that seems to move a lock and has no key for it; None when nothing is.

    A plate with bolts of its own (a name in ``bolted``, such as "lock plate bolts") is a part and no tool.
    """
    if step.lock or step.unlock or step.against or not step.traits.handles:
        return None
    found, out = machine.lock_named(step.text, bolted), machine.comes_out(step.text)
    if found and (out or machine.goes_in(step.text)):
        key, does = ("unlock", "takes it out") if out else ("lock", "puts it in")
        return Fault(f'"{found}" sounds like a lock', f"write {key}: with the id of its tool if this step {does}")
    if tool:
        hint = f"write lock: {tool} where it goes in and unlock: {tool} where it comes out"
        return Fault(f'The tool "{tool}" sounds like a lock', hint)
    return None


def locked(draft: Draft) -> Iterator[tuple[Step, tuple[str, ...]]]:
    """Yield every step with the locks that are in while it is done.

    What a step takes out is out before it turns anything; what it puts in goes in after that, and holds for
    ``against``.
    """
    put: dict[str, None] = {}
    for step in draft.sound_steps():
        put.pop(step.unlock or "", None)
        before = tuple(put)
        if step.lock:
            put[step.lock] = None
        yield step, before if step.lock not in step.against else tuple(put)


def left_in(draft: Draft) -> set[str]:
    """Return the ids of the steps whose lock no later step takes out."""
    put: dict[str, str] = {}
    for step in draft.every_step():
        put.pop(step.unlock or "", None)
        if step.lock:
            put[step.lock] = step.id
    return set(put.values())
