"""A stage opens with few words: nobody keeps more in mind until the wrench is set."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.language.en import ENGLISH
from assistant.procedure.format.reader import read_procedure
from assistant.session.telling.stage_openings import STAGE_WORDS, stage_openings
from tests.jobs import DEMOS


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_every_stage_of_a_demo_opens_with_at_most_twenty_five_words(path: Path) -> None:
    procedure = read_procedure(path).procedure
    assert procedure is not None
    openings = stage_openings(procedure, ENGLISH)
    assert openings
    assert [opening.text for opening in openings if opening.words > STAGE_WORDS] == []
