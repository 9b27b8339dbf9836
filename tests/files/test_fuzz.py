"""Thousands of damaged files of each kind: taken, or given sentences; none raises, hangs or spoils the screen."""

import time

import pytest

from tests.files.kinds import KINDS
from tests.files.mutations import PARTS, mutations

MOST_S = 2.0
"""Processor seconds for one file, so that a machine that is busy with other things changes nothing."""
LONGEST = 1200
"""Characters of one line that a person reads on the screen."""


@pytest.mark.slow
@pytest.mark.filterwarnings("error")  # a file of somebody else is no matter for a developer: it is taken, or refused
@pytest.mark.parametrize("part", range(PARTS))
@pytest.mark.parametrize("name", KINDS)
def test_a_damaged_file_is_taken_or_gets_its_sentences(tmp_path, name, part):
    kind = KINDS[name]
    path = tmp_path / kind.name
    path.parent.mkdir(parents=True, exist_ok=True)
    good = kind.good(tmp_path)
    for number, data in enumerate(mutations(good, part, name)):
        path.unlink(missing_ok=True)  # a file that is cut to nothing and written again keeps a busy disk waiting
        path.write_bytes(data)
        begun = time.process_time()
        try:
            lines = kind.read(path)
        except Exception as fault:
            raise AssertionError(f"mutation {number} of part {part}: {data[:300]!r}") from fault
        assert time.process_time() - begun < MOST_S, f"mutation {number} of part {part}: {data[:300]!r}"
        for line in lines:
            assert 0 < len(line) < LONGEST, (number, line[:300])
            assert "\n" not in line
            assert line.isprintable(), (number, line[:300])


@pytest.mark.parametrize("name", KINDS)
def test_the_good_files_are_good(tmp_path, name):
    """Otherwise the mutations would stop at the first hurdle."""
    kind = KINDS[name]
    path = tmp_path / kind.name
    path.parent.mkdir(parents=True, exist_ok=True)
    for data in kind.good(tmp_path):
        path.write_bytes(data)
        lines = kind.read(path)
        assert not [line for line in lines if ": error: " in line or "Not understood" in line or "cannot" in line], (
            lines
        )
