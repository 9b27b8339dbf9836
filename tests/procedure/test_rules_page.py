"""The page of rules has every rule and no other, each with its meaning, level, reason, a bad and a good example."""

import re
from pathlib import Path

from assistant.procedure.format.reader import read_procedure
from assistant.procedure.rules.table import all_rules
from tests.procedure.test_bad_files import BAD, expected

PAGE = (Path(__file__).parents[2] / "docs" / "rules.md").read_text(encoding="utf-8")
ENTRY = re.compile(
    r"^### (?P<rule>[a-z0-9-]+)\n\n(?P<means>.+)\n\n- Level: (?P<level>(?:error|warning).*)\n- Why: (?P<why>.+)\n"
    r"- Bad: (?P<bad>.+)\n- Good: (?P<good>.+)$",
    re.MULTILINE,
)


def test_every_rule_is_on_the_page_and_no_other_is():
    entries = {entry["rule"]: entry for entry in ENTRY.finditer(PAGE)}
    headings = re.findall(r"^### (.+)$", PAGE, re.MULTILINE)
    assert sorted(headings) == sorted(entries) == sorted(all_rules())
    for rule, means in all_rules().items():
        assert entries[rule]["means"] == means
        assert entries[rule]["bad"] != entries[rule]["good"]


def test_the_level_on_the_page_is_the_one_that_the_bad_file_gives():
    levels = {entry["rule"]: entry["level"] for entry in ENTRY.finditer(PAGE)}
    for path in BAD:
        rules = {rule for _, rule, _ in expected(path)}
        for finding in read_procedure(path).findings:
            assert finding.rule in rules
            assert finding.level in levels[finding.rule], (path.name, finding.rule)
