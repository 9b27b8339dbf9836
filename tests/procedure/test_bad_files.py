"""Each file in tests/procedure/bad says in its first comments which findings it must give: these, and no others."""

import re
from pathlib import Path

import pytest

from assistant.procedure.format.reader import read_procedure, read_text
from assistant.procedure.rules.table import all_rules

BAD = sorted((Path(__file__).parent / "bad").glob("*.yaml"))
SPECIAL = {"not-a-mapping", "stage-passes"}
"""A file that is not named as its rule, because that has another one."""
EXPECT = re.compile(r"# expect (?P<rule>[a-z-]+) in line (?P<line>\d+): (?P<text>.+)")


def expected(path: Path) -> list[tuple[int, str, str]]:
    found = [EXPECT.fullmatch(line) for line in path.read_text(encoding="utf-8").splitlines()]
    return [(int(match["line"]), match["rule"], match["text"]) for match in found if match]


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_a_bad_file_gives_exactly_its_findings_in_the_order_of_the_file(path):
    reading = read_procedure(path)
    assert [(f.line, f.rule, f.text) for f in reading.findings] == sorted(expected(path), key=lambda e: e[0])
    assert (reading.procedure is None) == bool(reading.errors)
    assert all(str(f).startswith(f"{path}:{f.line}:{f.column}: {f.level}: ") for f in reading.findings)
    assert path.stem in {finding.rule for finding in reading.findings} | SPECIAL


def test_every_rule_has_a_bad_file_or_a_hostile_one():
    from tests.procedure.hostile import BYTES

    seen = {rule for path in BAD for _, rule, _ in expected(path)}
    seen |= {finding.rule for data in BYTES.values() for finding in read_text(data, "x").findings}
    seen |= {finding.rule for finding in read_procedure(Path("no such file")).findings}
    assert set(all_rules()) == seen
