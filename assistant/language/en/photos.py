"""Photos: taken, demanded, dropped, and why there is none."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.language.en.numbers import number_words
from assistant.language.en.words import at_most_four, step_name
from assistant.language.values import StepAt


def photo_called(number: int) -> str:
    return f"photo {number_words(number)}"


def photo_taken(number: int, step: StepAt | None) -> str:
    return f"{photo_called(number).capitalize()} taken{_at(step)}."


def _at(step: StepAt | None) -> str:
    return "" if step is None else f" at {step_name(step)}"


def photo_demanded() -> str:
    return "It needs a photo."


def photo_wanted(step: StepAt) -> str:
    return f"{step_name(step).capitalize()} needs a photo first: say photo."


def photo_shows_before(numbers: Sequence[int]) -> str:
    if len(numbers) == 1:
        return f"{photo_called(numbers[0]).capitalize()} shows how it was."
    return f"Photos {at_most_four([number_words(one) for one in numbers])} show how it was."


def without_photo(step: StepAt) -> str:
    return f"{step_name(step).capitalize()} without its photo"


def drop_photo(number: int, step: StepAt | None) -> str:
    return f"Remove {photo_called(number)}{'' if step is None else f', of {step_name(step)}'}."


def photo_dropped(number: int) -> str:
    return f"{photo_called(number).capitalize()} removed."


def open_photo(step: StepAt) -> str:
    return f"{step_name(step)} has no photo"


def take_with_phone() -> str:
    return "Press photo on the page."


def no_way_to_take() -> str:
    return "There is no camera: name one in the settings, or open the page with touch buttons."


def camera_gone() -> str:
    return "The camera does not answer: check its cable, or press photo on the page."


def photo_not_kept() -> str:
    return "The photo could not be kept: make room on the disk, then take it again."


def photos_full() -> str:
    return "The job has as many photos as it can hold."
