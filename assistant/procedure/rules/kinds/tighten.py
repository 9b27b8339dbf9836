"""The rules about stages and their bolts; those about whole programmes are in ``programme.py`` beside this."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from assistant.facts.codes import ReadAt
from assistant.fastening.chunks import MOST_THINGS
from assistant.fastening.quantities import Angle
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.format.values import bolts_text
from assistant.procedure.model import Group
from assistant.procedure.steps.tighten import Stage, StagePurpose, TightenStep


@rule
def bolts_in_group(draft: Draft) -> Iterator[Complaint]:
    """Tighten, and call hidden, only bolts of the group that is named with them."""
    groups = draft.sound_groups()
    for group in groups.values():
        for position, hidden in enumerate(group.hidden):
            if hidden.bolt not in group.bolts:
                place = draft.places.of(group, "hidden", position, "bolt")
                yield Complaint(
                    place, f'The group "{group.id}" has no bolt {hidden.bolt}', f"it has {bolts_text(group.bolts)}"
                )
    for run in (run for _, _, stage in stages_of(draft) for run in stage.runs):
        known = groups.get(run.group)
        strange = [bolt for bolt in run.bolts if known and bolt not in known.bolts]
        if known and strange:
            text = f'The group "{run.group}" has no bolt {bolts_text(strange)}'
            hint = f"it has {bolts_text(known.bolts)}"
            yield Complaint(draft.places.of(run, "bolts"), text, hint)


def stages_of(draft: Draft) -> Iterator[tuple[TightenStep, int, Stage]]:
    """Yield every stage with its step and its place in that, from 1."""
    for step in draft.steps_of(TightenStep):
        for number, stage in enumerate(step.stages, 1):
            yield step, number, stage


@rule
def every_bolt_once(draft: Draft) -> Iterator[Complaint]:
    """Take every bolt of the groups of a step in each stage, and none twice in a pass, or say in exception why not."""
    groups = draft.sound_groups()
    for step in draft.steps_of(TightenStep):
        stages = [stage for stage in step.stages if draft.places.sound(stage)]
        names = {run.group for stage in step.stages for run in stage.runs}
        if len(stages) < len(step.stages) or not names <= groups.keys():
            continue
        for stage in stages:
            faults = [] if stage.exception else list(_uneven(stage, [groups[name] for name in sorted(names)]))
            if faults:
                text, hint = f"This stage {'; '.join(faults)}", "mend the order, or say why under exception"
                yield Complaint(draft.places.of(stage), text, hint)


def _uneven(stage: Stage, groups: list[Group]) -> Iterator[str]:
    for group in groups:
        placed = [
            Counter(bolt for run in one.runs if run.group == group.id for bolt in run.bolts) for one in stage.passes
        ]
        missing = [bolt for bolt in group.bolts if not any(bolt in one for one in placed)]
        if missing:
            yield f'leaves out {bolts_text(missing)} of the group "{group.id}"'
        for part, one in enumerate(placed, 1):
            twice = sorted(bolt for bolt, times in one.items() if times > 1)
            if twice:
                where = f", in pass {part}" if len(placed) > 1 else ""
                yield f'takes {bolts_text(twice)} of the group "{group.id}" twice{where}'


@rule
def one_target_kind(draft: Draft) -> Iterator[Complaint]:
    """Give a pass of a stage torques only, or further angles only."""
    for stage in (stage for _, _, stage in stages_of(draft) if draft.places.sound(stage)):
        for one in stage.passes:
            if len({isinstance(run.target, Angle) for run in one.runs}) > 1:
                what = "stage" if len(stage.passes) == 1 else "pass"
                text, hint = f"This {what} has torques and angles", "make a pass of each, the angle after the torque"
                yield Complaint(draft.places.of(one), text, hint)


@rule
def turned_together(draft: Draft) -> Iterator[Complaint]:
    """Turn at least two bolts together, and at most as many as can be held in mind."""
    for stage in (stage for _, _, stage in stages_of(draft) if draft.places.sound(stage)):
        for one in (one for one in stage.passes if one.together):
            for run in one.runs:
                if len(run.bolts) > MOST_THINGS:
                    text = f"{len(run.bolts)} bolts are to be turned together here, {MOST_THINGS} are the most"
                    hint = "split them into runs, in their order"
                    yield Complaint(draft.places.of(run, "bolts"), text, hint)
            if all(len(run.bolts) == 1 for run in one.runs):
                text = "No two bolts are turned together here"
                yield Complaint(draft.places.of(one, "together"), text, "put them into one run, or take together: out")


@rule
def repeat_is_meant(draft: Draft) -> Iterator[Complaint]:
    """Repeat what adds up: a further angle, or a torque once more; not loosening, and not a check."""
    for stage in (stage for _, _, stage in stages_of(draft) if draft.places.sound(stage)):
        for one in (one for one in stage.passes if one.repeat > 1):
            at = draft.places.of(one, "repeat")
            if one.purpose is not StagePurpose.TIGHTEN:
                text = "Loosening" if one.purpose is StagePurpose.LOOSEN else "A check"
                yield Complaint(at, f"{text} is repeated here", "take repeat: out, or write the passes one by one")


@rule
def stage_numbers(draft: Draft) -> Iterator[Complaint]:
    """Give each stage of a step a number of its own, as it is printed, and no label twice."""
    for step in draft.steps_of(TightenStep):
        printed: set[str] = set()
        for number, stage in enumerate(step.stages, 1):
            own = stage.number or str(number)
            for name, key in ((own, "stage"), (stage.label.lower(), "label")):
                if name and name in printed and draft.places.sound(stage):
                    said = f"The number {own}" if key == "stage" else f'The label "{stage.label}"'
                    text, hint = f"{said} stands at two stages of this step", "tell them apart as they are printed"
                    yield Complaint(draft.places.of(stage, key), text, hint)
                printed.add(name)


@rule
def clear_bolt_numbers(draft: Draft) -> Iterator[Complaint]:
    """Give no bolt number twice among the groups of one step, so that a number heard is one bolt."""
    groups = draft.sound_groups()
    for step in draft.steps_of(TightenStep):
        names = dict.fromkeys(run.group for stage in step.stages for run in stage.runs)
        owners: dict[int, str] = {}
        for group in (groups[name] for name in names if name in groups):
            shared = [bolt for bolt in group.bolts if owners.setdefault(bolt, group.id) != group.id]
            if shared:
                text = f'Bolt {bolts_text(shared)} is in the group "{owners[shared[0]]}" and in "{group.id}"'
                yield Complaint(draft.places.of(group, "bolts"), text, "number the bolts of one joint right through")


@rule
def stages_as_said(draft: Draft) -> Iterator[Complaint]:
    """Have as many stages as the command says."""
    for step in draft.steps_of(TightenStep):
        said, have = draft.written.wording.stages_said(step.text), len(step.stages)
        again = any(stage.reseat or stage.number for stage in step.stages)  # counted in two ways
        if said is not None and said != have and not again and draft.places.sound(*step.stages):
            words = draft.written.wording.in_words
            text = f"The command says {words(said)} stages and {words(have)} {'is' if have == 1 else 'are'} here"
            yield Complaint(draft.step_place(step), text, "correct the command or the stages")


@rule
def read_beside_target(draft: Draft) -> Iterator[Complaint]:
    """Read off a torque after an angle, and an angle at a torque, bolt by bolt: not what the bolts are taken to."""
    for _, _, stage in stages_of(draft):
        for one in stage.passes if draft.places.sound(stage) else ():
            if one.read is None:
                continue
            place = draft.places.of(one, "read")
            if one.purpose is not StagePurpose.TIGHTEN or one.together:
                text = "Nothing is read off bolt by bolt where bolts are loosened, checked or turned together"
                yield Complaint(place, text, "take read: out")
            elif (one.read is ReadAt.ANGLE) == one.is_angle:
                other = ReadAt.TORQUE if one.is_angle else ReadAt.ANGLE
                text = f"These bolts are taken to that {one.read.value}, so it is no other value to read off"
                yield Complaint(place, text, f"write read: {other.value}, or take it out")
