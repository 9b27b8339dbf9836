"""From a file to what is published of it: its kind, id and revision, its approval, and the pictures that it shows."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from assistant.faults import Fault, quoted
from assistant.files import FileFault, read_file
from assistant.procedure.findings import Finding
from assistant.procedure.format.content import approval_clause
from assistant.procedure.format.price_file import read_prices
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.format.tool_file import read_tool_text
from assistant.procedure.format.wordings_file import read_wordings
from assistant.procedure.model import Procedure
from assistant.procedure.pictures import Picture, pictures_of, read_picture
from assistant.terminal.exits import Exit, Refusal
from assistant.workshop.library import KINDS_TOLD, MOST_REVISION, LibraryKind, id_fault
from assistant.workshop.library_store import Publication

_BY_ENDING = {
    ".yaml": LibraryKind.PROCEDURE,
    ".yml": LibraryKind.PROCEDURE,
    ".csv": LibraryKind.PRICES,
    ".txt": LibraryKind.WORDINGS,
    ".png": LibraryKind.PICTURE,
    ".jpg": LibraryKind.PICTURE,
    ".jpeg": LibraryKind.PICTURE,
}
_HASH_DIGITS = 12
"""So many hexadecimal digits of its SHA-256 are the revision of a file that names none of its own."""


@dataclass(frozen=True, slots=True)
class PreparedFile:
    """What is published of a file, it itself last, and the warnings that it has."""

    files: tuple[Publication, ...]
    findings: tuple[Finding, ...] = ()


def prepare_file(
    path: Path, kind: LibraryKind | None = None, name: str = "", revision: str = "", *, unapproved: bool = False
) -> PreparedFile:
    """Read and check the file at ``path``; its ending tells its ``kind`` unless one is given.

    A procedure has its own id and revision; another file is called as it is, or ``name``, and its ``revision`` is the
    beginning of its hash unless one is given. ``unapproved`` lets a procedure through that nobody approved as it is.

    Raises:
        Refusal: it cannot be published, and why, with all findings of it.
    """
    kind = kind or _BY_ENDING.get(path.suffix.lower())
    if kind is None:
        sentence = f"{path} is no file for the library by its ending: say what it is with --kind."
        raise Refusal(sentence, Exit.USAGE)
    if kind is LibraryKind.PROCEDURE:
        return _procedure(path, name or revision, unapproved=unapproved)
    data = read_file(path, kind.most_bytes, f"a file of the library ({KINDS_TOLD[kind]})")
    if isinstance(data, FileFault):
        raise Refusal(f"{data.sentence}.", Exit.PROCEDURE)
    findings = _checked(kind, path, data)
    name = name or (path.name if kind is LibraryKind.PICTURE else path.stem.lower())
    if fault := id_fault(kind, name):
        raise Refusal(f"{quoted(name)} cannot be the name of a {KINDS_TOLD[kind]}; {fault}, with --id.", Exit.USAGE)
    revision = " ".join(revision.split()) or sha256(data).hexdigest()[:_HASH_DIGITS]
    _check_revision(revision)
    return PreparedFile(
        (Publication(kind=kind, id=name, revision=revision, title=path.name[:400], content=data),), findings
    )


def _procedure(path: Path, given: str, *, unapproved: bool) -> PreparedFile:
    if given:
        raise Refusal("A procedure has its id and its revision in its file; leave --id and --revision out.", Exit.USAGE)
    reading = read_procedure(path)
    it = reading.procedure
    if it is None:
        raise _refused(path, reading.findings, "; assistant check tells the same")
    _check_revision(it.revision)
    if not it.approved and not unapproved:
        raise Refusal(
            f"{path} is {approval_clause(it)}, and so is not published: approve it with assistant approve {path} "
            "--by NAME --write, or publish it as it is with --unapproved; each job with it begins with saying so.",
            Exit.PROCEDURE,
        )
    pictures = [_picture(path.parent, name) for name in pictures_of(it)]
    shows = tuple((one.id, sha256(one.content).hexdigest()) for one in pictures)
    return PreparedFile((*pictures, _publication(it, reading.data, shows)), reading.findings)


def _publication(it: Procedure, data: bytes, shows: tuple[tuple[str, str], ...]) -> Publication:
    approval = it.approval
    return Publication(
        kind=LibraryKind.PROCEDURE,
        id=it.id,
        revision=it.revision,
        title=it.title,
        content=data,
        approved="yes" if it.approved else "changed" if approval else "no",
        approved_by=approval.by if approval else "",
        approved_on=str(approval.on) if approval else "",
        shows=shows,
    )


def _picture(folder: Path, name: str) -> Publication:
    found = read_picture(folder, name)
    if isinstance(found, Fault):
        sentence = f"{found.sentence}: a procedure is published with all that it shows, and stays as it was then."
        raise Refusal(sentence, Exit.PROCEDURE)
    return Publication(
        kind=LibraryKind.PICTURE, id=name, revision=found.sha256[:_HASH_DIGITS], title=name, content=found.data
    )


def _checked(kind: LibraryKind, path: Path, data: bytes) -> tuple[Finding, ...]:
    """Return the warnings of a file.

    Raises:
        Refusal: it has errors.
    """
    findings: tuple[Finding, ...] = ()
    good = True
    match kind:
        case LibraryKind.TOOLS:
            tools = read_tool_text(data, str(path))
            good, findings = tools.box is not None, tools.findings
        case LibraryKind.PRICES:
            prices = read_prices(data, str(path))
            good, findings = prices.prices is not None, prices.findings
        case LibraryKind.WORDINGS:
            words = read_wordings(data, str(path))
            good, findings = words.wordings is not None, words.findings
        case LibraryKind.PICTURE:
            picture = read_picture(path.parent, path.name)
            if not isinstance(picture, Picture):
                raise Refusal(f"{picture.sentence}.", Exit.PROCEDURE)
    if not good:
        raise _refused(path, findings)
    return findings


def _refused(path: Path, findings: tuple[Finding, ...], same: str = "") -> Refusal:
    lines = [*map(str, findings), f"{path} is not published: mend it first{same}."]
    return Refusal("\n".join(lines), Exit.PROCEDURE)


def _check_revision(revision: str) -> None:
    if len(revision) > MOST_REVISION or not revision.isprintable():
        sentence = f"The revision {quoted(revision)} cannot be published; write at most {MOST_REVISION} letters."
        raise Refusal(sentence, Exit.PROCEDURE)
