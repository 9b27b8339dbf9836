"""Findings as a SARIF 2.1.0 log (OASIS Standard, 27 March 2020), for editors and review pages that read it.

Which properties there must be: sarifLog 3.13, run 3.14, tool 3.18, toolComponent 3.19, result 3.27, suppression 3.35,
reportingDescriptor 3.49 of the standard (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any
from urllib.parse import quote

from assistant import __version__
from assistant.procedure.findings import Finding, Waived
from assistant.procedure.rules.table import all_rules

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


def sarif(findings: Iterable[Finding], waived: Iterable[Waived]) -> dict[str, Any]:
    """Return one log with one run; what is waived is there too, as suppressed in the source, with its reason."""
    places = {rule: place for place, rule in enumerate(all_rules())}
    results = [_result(finding, places) for finding in findings]
    for one in waived:
        suppression = {"kind": "inSource", "status": "accepted", "justification": one.reason}
        results.append({**_result(one.finding, places), "suppressions": [suppression]})
    driver = {
        "name": "assistant check",
        "version": __version__,
        "rules": [{"id": rule, "shortDescription": {"text": means}} for rule, means in all_rules().items()],
    }
    run = {"tool": {"driver": driver}, "columnKind": "unicodeCodePoints", "results": results}
    return {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}


def _result(finding: Finding, places: dict[str, int]) -> dict[str, Any]:
    region = {"startLine": finding.line, "startColumn": finding.column}
    location = {"physicalLocation": {"artifactLocation": {"uri": _uri(finding.file)}, "region": region}}
    return {
        "ruleId": finding.rule,
        "ruleIndex": places[finding.rule],
        "level": finding.level.value,
        "message": {"text": finding.text},
        "locations": [location],
    }


def _uri(file: str) -> str:
    """Return a file's name as a URI reference (RFC 3986): relative stays relative."""
    path = Path(file)
    return path.as_uri() if path.is_absolute() else quote(path.as_posix(), safe="/")
