"""The rules about stages and their bolts; those about whole programmes are in ``programme.py`` beside this."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from assistant.fastening.quantities import Angle
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.format.values import bolts_text
from assistant.procedure.model import Group
from assistant.procedure.steps.tighten import Stage, TightenStep


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
    for run in (run for step in draft.steps_of(TightenStep) for stage in step.stages for run in stage.runs):
        known = groups.get(run.group)
        strange = [bolt for bolt in run.bolts if known and bolt not in known.bolts]
        if known and strange:
            text = f'The group "{run.group}" has no bolt {bolts_text(strange)}'
            hint = f"it has {bolts_text(known.bolts)}"
            yield Complaint(draft.places.of(run, "bolts"), text, hint)


@rule
def every_bolt_once(draft: Draft) -> Iterator[Complaint]:
    """Take every bolt of the groups of a step exactly once in each stage, or say in its exception why not."""
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
        placed = Counter(bolt for run in stage.runs if run.group == group.id for bolt in run.bolts)
        missing = [bolt for bolt in group.bolts if bolt not in placed]
        twice = sorted(bolt for bolt, times in placed.items() if times > 1)
        if missing:
            yield f'leaves out {bolts_text(missing)} of the group "{group.id}"'
        if twice:
            yield f'takes {bolts_text(twice)} of the group "{group.id}" twice'


@rule
def one_target_kind(draft: Draft) -> Iterator[Complaint]:
    """Give a stage torques only, or further angles only."""
    for stage in (stage for step in draft.steps_of(TightenStep) for stage in step.stages if draft.places.sound(stage)):
        kinds = {isinstance(run.target, Angle) for run in stage.runs}
        if len(kinds) > 1:
            text, hint = "This stage has torques and angles", "make a stage of each, the angle after the torque"
            yield Complaint(draft.places.of(stage), text, hint)


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
        again = any(stage.repeat_from for stage in step.stages)  # how many stages those are can be counted in two ways
        if said is not None and said != have and not again and draft.places.sound(*step.stages):
            words = draft.written.wording.in_words
            text = f"The command says {words(said)} stages and {words(have)} {'is' if have == 1 else 'are'} here"
            yield Complaint(draft.step_place(step), text, "correct the command or the stages")
