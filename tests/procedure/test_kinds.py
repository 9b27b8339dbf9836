"""What a room knows of a kind of step is found by the class of the step, or of the nearest one above it."""

from dataclasses import dataclass

import pytest

from assistant.procedure.kinds import Kinds, Room
from assistant.procedure.model import Step


@dataclass(frozen=True, slots=True)
class LookStep(Step):
    pass


@dataclass(frozen=True, slots=True)
class LookTwiceStep(LookStep):
    pass


SOUND: Room[str] = Room("sound")
PAPER: Room[int] = Room("paper")
LOOK = LookStep(id="a", text="Look.")


def test_each_room_finds_its_own_part_by_a_step_or_by_its_class():
    kinds = Kinds()
    kinds.add(LookStep, SOUND, "hm")
    kinds.add(LookStep, PAPER, 7)
    assert (kinds.part(LOOK, SOUND), kinds.part(LookStep, PAPER)) == ("hm", 7)
    assert kinds.part(LookTwiceStep(id="b", text="Look twice."), SOUND) == "hm"
    assert kinds.parts(SOUND) == {LookStep: "hm"}


def test_what_is_attached_to_the_base_is_taken_for_a_kind_without_a_part():
    kinds = Kinds()
    assert kinds.find(LOOK, SOUND) is None
    with pytest.raises(LookupError, match="the room sound has no part for LookStep"):
        kinds.part(LOOK, SOUND)
    kinds.add(Step, SOUND, "any")
    assert kinds.part(LOOK, SOUND) == "any"


def test_a_room_has_one_part_for_a_kind():
    kinds = Kinds()
    kinds.add(LookStep, SOUND, "hm")
    with pytest.raises(ValueError, match="already"):
        kinds.add(LookStep, SOUND, "oh")


def test_a_kind_that_is_there_for_a_while_is_forgotten_in_every_room():
    kinds = Kinds()
    with kinds.known(LookStep):
        kinds.add(LookStep, SOUND, "hm")
        kinds.add(LookStep, PAPER, 7)
    assert kinds.find(LOOK, SOUND) is None
    assert kinds.find(LOOK, PAPER) is None
