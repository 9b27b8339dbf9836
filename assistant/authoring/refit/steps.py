"""The steps that put back what a procedure takes off: in reverse order, with counts and torques."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from assistant.authoring.refit.torques import Torques, is_tightened
from assistant.authoring.skeleton import step
from assistant.authoring.text import TODO, comment, ident
from assistant.facts.codes import Direction
from assistant.language.chosen import WRITTEN
from assistant.language.values import Thing
from assistant.procedure.findings import Place
from assistant.procedure.format.draft import Draft
from assistant.procedure.format.step_list import write_step
from assistant.procedure.model import Group, Item, Procedure, Step
from assistant.procedure.rules.locks import left_in
from assistant.procedure.rules.refit import opened_is_shut
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.fit import FitStep


@dataclass(slots=True)
class RefitSteps:
    """The drafted steps, and what a person must decide about the whole."""

    steps: list[str] = field(default_factory=list)
    undone: list[str] = field(default_factory=list)
    """Steps of the programme that are not used, and those that strip of which no words tell what undoes them."""


def draft_refit(draft: Draft, programme: Procedure | None) -> RefitSteps:
    """Return the steps that put back what is still off at the end of the procedure of ``draft``.

    ``programme`` is another procedure with tighten steps for groups of the same ids. A tighten step of the procedure
    itself that comes after the removal stands where it is.
    """
    return _Drafter(draft, programme).draft()


class _Drafter:
    def __init__(self, draft: Draft, programme: Procedure | None) -> None:
        procedure = draft.procedure
        self._it = procedure
        unshut = {_at(complaint.place) for complaint in opened_is_shut(draft)}
        self._unshut = {one.id for one in procedure.steps if _at(draft.step_place(one)) in unshut}
        self._locked = left_in(draft) & {one.id for one in procedure.steps}
        self._all = [*procedure.steps, *procedure.closing]
        self._groups = {group.id: group for group in procedure.groups}
        self._spares = {spare.id: spare for spare in procedure.spares}
        self._fitted = {one.spare for one in self._all if isinstance(one, FitStep)}
        self._ids = {one.id for one in self._all}
        self._programme = programme
        self._made = RefitSteps()

    def draft(self) -> RefitSteps:
        back = [(place, one) for place, one in enumerate(self._it.steps) if self._is_off(place, one)]
        counts = [one for _, one in back if isinstance(one, CountStep)]
        loose = {one.group for one in counts if not is_tightened(self._all[self._all.index(one) + 1 :], one.group)}
        torques = Torques(self._it, self._programme, loose, self._ids)
        for _, one in reversed(back):
            if isinstance(one, CountStep):
                self._count_in(one, torques if one.group in loose else None)
            else:
                self._put_back(one)
        for spare in self._it.spares:
            if spare.single_use and spare.id not in self._fitted:
                fit = self._fit(spare, int(spare.quantity or 1))
                self._made.steps.insert(0, step(fit, "put this step where the part goes in"))
        self._made.undone += torques.left()
        off = {one.id for _, one in back}
        for chapter in self._it.chapters:
            if any(one.id in off for one in chapter.steps):
                self._made.undone += [
                    f'what undoes "{one.text}" ({one.id})'
                    for one in chapter.steps
                    if one.traits.takes_off and one.id not in off and not one.not_refitted
                    if not self._is_back(one) and not WRITTEN.parts.opened_plainly(one.text)
                ]
        return self._made

    def _is_off(self, place: int, one: Step) -> bool:
        """Return whether a step takes something off that no later step puts back."""
        later = self._all[place + 1 :]
        if isinstance(one, CountStep) and one.direction is Direction.OUT and one.group in self._groups:
            group = self._groups[one.group]
            if group.single_use:
                return not any(isinstance(other, FitStep) and other.spare == group.spare for other in later)
            return not any(isinstance(other, CountStep) and other.group == one.group for other in later)
        if not one.traits.takes_off or one.not_refitted or self._is_back(one):
            return False
        return one.id in self._unshut | self._locked or any(self._missing(one, place))

    def _missing(self, one: Step, place: int) -> Iterator[Thing]:
        """Yield the parts that a command takes off and that no later command, or new part, puts back.

        Bolts of a cover that are counted in do not bring the cover back, so this asks for more than the checker does.
        """
        parts = WRITTEN.parts
        later = [other for other in self._all[place + 1 :] if isinstance(other, DoStep | FitStep)]
        put = [
            one_put
            for other in later
            for one_put in parts.put_on(other.text)
            if one_put not in set(parts.removed(other.text))
        ]
        for part in parts.removed(one.text):
            is_tool = any(WRITTEN.needs.is_item(part, item.name) for item in self._it.support_equipment)
            if parts.goes_back(part, ()) and not is_tool and not any(parts.is_same(part, other) for other in put):
                yield part

    def _is_back(self, one: Step) -> bool:
        return any(other.refits == one.id for other in self._all)

    # Fasteners

    def _count_in(self, count: CountStep, torques: Torques | None) -> None:
        """Draft that bolts go in, and what tightens them, where no later step of the file does."""
        group = self._groups[count.group]
        spare = self._spares.get(group.spare or "")
        if group.single_use and spare:
            fit = self._fit(spare, len(group.bolts)) | {"fit": WRITTEN.drafting.fit_bolts(group.name)}
            self._add(count, fit, f'They come new, in place of those of the step "{count.id}".')
        elif group.single_use:
            self._add(count, {"do": TODO}, why=f"the {group.name} are single-use: list new ones and fit them here")
        else:
            self._add(count, {"count": WRITTEN.drafting.count_in(group.name), "in": group.id})
        if torques is None:
            return
        if not torques.covers(group.id):
            what = (
                f"tighten the {group.name} ({_how_many(group)}): the stages, with units, are in the maker's procedure"
            )
            self._add(count, {"do": TODO}, why=what)
        self._made.steps += torques.ready(group.id)

    # Parts

    def _put_back(self, one: Step) -> None:
        opened, drafting = WRITTEN.parts.opened_plainly(one.text), WRITTEN.drafting
        if opened:
            self._add(one, {"do": drafting.shut(opened), "refits": one.id}, _was(one))
            return
        if one.id in self._locked:
            name = next((item.name for item in self._it.support_equipment if item.id == one.lock), one.lock or "")
            self._add(one, {"do": drafting.take_out(name), "refits": one.id, "unlock": one.lock}, _was(one))
            return
        for part in reversed(list(self._missing(one, self._all.index(one)))):
            spare = next((item for item in self._it.spares if WRITTEN.needs.is_item(part, item.name)), None)
            if spare and spare.single_use and spare.id not in self._fitted:
                self._add(one, self._fit(spare, int(spare.quantity or 1)) | {"refits": one.id}, _was(one))
            elif WRITTEN.parts.is_replaced(part):
                text = f'what is fitted in place of the {part.words}: "{one.text}" ({one.id})'
                self._add(one, {"do": TODO, "refits": one.id}, why=text)
            else:
                self._add(one, {"do": drafting.put_back(part.words), "refits": one.id}, _was(one))

    def _fit(self, spare: Item, quantity: int) -> dict[str, Any]:
        self._fitted.add(spare.id)
        what = WRITTEN.drafting.fit_new(spare.name, quantity)
        return {"fit": what, "spare": spare.id} | ({"quantity": str(quantity)} if quantity > 1 else {})

    def _add(self, one: Step, made: dict[str, Any], why: str = "") -> None:
        """Add a step; ``why`` is the comment above it, which says what to write where the step itself says TODO."""
        name = ident(f"{one.id}-back", self._ids)
        self._ids.add(name)
        made = {"id": name} | made
        remarks: list[str] = []
        if one.hazards and TODO not in made.values():
            made["hazards"] = write_step(one)["hazards"]
            remarks.append("these are the hazards of taking it off: write those of putting it back")
        self._made.steps.append((comment(why, 6) if why else "") + step(made, *remarks))


def _at(place: Place) -> tuple[int, int]:
    return place.line, place.column


def _how_many(group: Group) -> str:
    return f"{len(group.bolts)} of {group.size}"


def _was(one: Step) -> str:
    return f'The step "{one.id}" says: {one.text}'
