"""From a procedure file to a checked procedure, or to findings that say what to mend.

Nothing that can stand in a file raises here; the answer has the findings, all of them, in the order of the file.
"""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from assistant.faults import Fault
from assistant.procedure.findings import Finding, Findings, Level, ReadingRule, Waived
from assistant.procedure.format.comments import check_comments
from assistant.procedure.format.content import content_hash
from assistant.procedure.format.document import read_document
from assistant.procedure.format.draft import Draft
from assistant.procedure.format.source import decode, read_bytes
from assistant.procedure.format.tree import read_tree
from assistant.procedure.model import Procedure
from assistant.procedure.pictures import MOST_PICTURES, read_picture
from assistant.procedure.rules.table import check_rules


@dataclass(frozen=True, slots=True)
class Reading:
    """What came of reading a file: the procedure unless a finding is an error, and the bytes that were read."""

    procedure: Procedure | None
    findings: tuple[Finding, ...] = ()
    data: bytes = b""
    waived: tuple[Waived, ...] = ()
    """Warnings that the file answers for itself."""

    @property
    def usable(self) -> Procedure:
        """Return the procedure, where it is known that there are no errors.

        Raises:
            ValueError: there are.
        """
        if self.procedure is None:
            raise ValueError("a file with errors has no procedure")
        return self.procedure

    @property
    def errors(self) -> tuple[Finding, ...]:
        """Return the findings that keep the file from being used."""
        return tuple(finding for finding in self.findings if finding.level is Level.ERROR)


def read_procedure(path: Path) -> Reading:
    """Read and check the procedure file at ``path``; a file that cannot be read is a finding too."""
    findings = Findings(str(path))
    data = read_bytes(path, findings)
    if data is None:
        return Reading(None, findings.result())
    return _read(data, str(path), rules=True, folder=path.parent)


def read_text(data: bytes, name: str) -> Reading:
    """Read and check the bytes of a procedure file; ``name`` is the file that findings point to."""
    return _read(data, name, rules=True)


def read_kept(data: bytes, name: str) -> Reading:
    """Read the copy that a job keeps of its procedure. It was checked when the job began.

    The rules are not run again: a job that is open must go on under a version that has more of them.
    """
    return _read(data, name, rules=False)


def _read(data: bytes, name: str, *, rules: bool, folder: Path | None = None) -> Reading:
    findings = Findings(name)
    text = decode(data, findings)
    tree = None if text is None else read_tree(text, findings)
    hashes = sha256(data).hexdigest(), content_hash(data)
    draft = None if tree is None else read_document(tree, findings, *hashes)
    if draft is None:
        return Reading(None, findings.result(), data)
    if rules:
        check_rules(draft, findings)
        check_comments(text or "", findings)
        if folder is not None:
            _check_pictures(draft, folder, findings)
    told = findings.result()
    if not rules:  # the writing of a copy that was in order when it was made is nobody's to mend
        told = tuple(one for one in told if one.level is Level.ERROR)
    return Reading(None if findings.errors else draft.procedure, told, data, tuple(sorted(findings.waived)))


def _check_pictures(draft: Draft, folder: Path, findings: Findings) -> None:
    """Complain about pictures that cannot be shown; the work can go on without them."""
    known: dict[str, Fault | None] = {}
    for step in draft.every_step():
        if not step.picture or not draft.places.sound(step):
            continue
        place = draft.places.of(step, "picture")
        if step.picture not in known:
            if len(known) == MOST_PICTURES:
                reason, hint = f"Here is picture {MOST_PICTURES + 1}", f"show at most {MOST_PICTURES} of them"
                findings.add(place, ReadingRule.PICTURE, reason, hint)
                return
            found = read_picture(folder, step.picture)
            known[step.picture] = found if isinstance(found, Fault) else None
        if (fault := known[step.picture]) is not None:
            findings.add(place, ReadingRule.PICTURE, fault.reason, fault.advice, Level.WARNING)
