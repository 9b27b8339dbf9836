"""Refit: the steps that put back go into a copy of the file, behind its last chapter; the rest stays as it was."""

from __future__ import annotations

import re
import sys
from pathlib import Path

from assistant.authoring.options import RefitOptions
from assistant.authoring.refit.steps import RefitSteps, draft_refit
from assistant.authoring.skeleton import draft_chapter
from assistant.authoring.text import todo
from assistant.authoring.written import finish_draft, ready
from assistant.bay.refusing import guarded
from assistant.procedure.findings import Findings
from assistant.procedure.format.comments import open_comments
from assistant.procedure.format.document import read_document
from assistant.procedure.format.draft import Draft
from assistant.procedure.format.source import decode, read_bytes
from assistant.procedure.format.tree import read_tree
from assistant.procedure.model import Chapter, Procedure
from assistant.procedure.rules.general import references, unique_ids
from assistant.terminal.exits import Exit, Refusal

_CLOSING = re.compile(r"^closing[ \t]*:", re.MULTILINE)


def run_refit(procedure: Path, out: Path | None, options: RefitOptions) -> Exit:
    """Draft the refit of the file ``procedure`` into ``out``, or into the file itself, or print it.

    A file that is replaced is kept beside it.
    """
    return guarded(lambda: _refit(procedure, out, options.programme, options.write, options.force))


def _refit(path: Path, out: Path | None, programme: Path | None, write: bool, force: bool) -> Exit:
    if write and out is not None:
        raise Refusal(f"Name the file {out}, or say --write for {path} itself, not both.", Exit.USAGE)
    option = "--force"
    if write:
        out, force, option = path, True, "--write"
    elif out is not None and out.exists() and path.exists() and out.samefile(path) and not force:
        raise Refusal(f"{out} is the original: say --write to put the draft into it (it is kept as .bak).", Exit.OUTPUT)
    ready(out, force=force, option=option)
    text, draft = _unchecked(path)
    refit, left = draft_refit(draft, None), ""
    if programme is not None:
        torques, other = _unchecked(programme)
        refit = draft_refit(draft, other.procedure)
        left = _left_open(programme, torques)
    if not refit.steps:
        print(f"Nothing is left off at the end of {path}: there is nothing to draft.", file=sys.stderr)
        return Exit.OK
    if left:
        refit.undone.append(left)
        print(f"Note: {left}.", file=sys.stderr)
    print(f"Drafted {len(refit.steps)} steps; read each of them, and the order, before you use it.", file=sys.stderr)
    return finish_draft(_inserted(path, text, draft.procedure, refit), out, force=force, option=option)


def _left_open(programme: Path, text: str) -> str:
    """Return what a programme that is a draft itself leaves open, or ""."""
    places = [place.line for place, _ in open_comments(text)]
    if not places:
        return ""
    lines = ", ".join(map(str, places[:8])) + (", ..." if len(places) > 8 else "")
    return f"{programme.name} is a draft itself, so its steps are no better: decide its TODOs too, in line {lines}"


def _unchecked(path: Path) -> tuple[str, Draft]:
    """Read a procedure that need not be whole: what it takes off may be missing at its end.

    Raises:
        Refusal: it cannot be read, or its ids do not fit together.
    """
    findings = Findings(str(path))
    data = read_bytes(path, findings)
    text = decode(data, findings) if data is not None else None
    tree = read_tree(text, findings) if text is not None else None
    draft = read_document(tree, findings) if tree is not None else None
    if draft is not None:
        for rule, name in ((unique_ids, "unique-ids"), (references, "references")):
            for complaint in rule(draft):
                findings.add(complaint.place, name, complaint.reason, complaint.advice, complaint.level)
    if text is None or draft is None or findings.errors:
        raise Refusal("\n".join(str(finding) for finding in findings.result()), Exit.PROCEDURE)
    return text, draft


def _inserted(path: Path, text: str, procedure: Procedure, refit: RefitSteps) -> str:
    """Return ``text`` with the new chapter in front of the key ``closing``."""
    taken = {one.name for one in procedure.chapters}
    name = "Refit" if "Refit" not in taken else "Refit, drafted"
    about = todo(_LOOK, 2)
    new = about + draft_chapter(name, refit.steps, refit.undone)
    line_end = "\r\n" if "\r\n" in text else "\n"
    text = text.replace("\r\n", "\n")
    found = _CLOSING.search(text)
    if found is not None:
        head = text[: found.start()]
        gap = re.search(r"\n*(?:[ \t]*#[^\n]*\n|\n)*$", head)  # what stands above closing belongs to it
        at = gap.start() if gap else found.start()
        made = f"{head[:at].rstrip()}\n\n{_moved(new, head)}\n{text[at:].lstrip(chr(10))}"
        if _has(made, procedure, name):
            return made.replace("\n", line_end)
    raise Refusal(
        f"The chapters of {path} are not written as a list with one step under the other, so that nothing can be put "
        "behind them: write them so, and draft again.",
        Exit.PROCEDURE,
    )


_LOOK = (
    "read every step, and their order; they were drafted from the steps that strip, in reverse, and the tool does not "
    "know your machine"
)


def _moved(new: str, head: str) -> str:
    """Return the new chapter as far to the right as the others are."""
    others = re.findall(r"^([ ]*)- (?:chapter|part)[ \t]*:", head, re.MULTILINE)
    shift = (len(others[-1]) if others else 2) - 2
    if shift >= 0:
        return "".join(f"{' ' * shift}{line}" for line in new.splitlines(keepends=True))
    return "".join(line[-shift:] for line in new.splitlines(keepends=True))


def _has(text: str, before: Procedure, name: str) -> bool:
    """Return whether ``text`` reads as the procedure that was there and one chapter more."""
    findings = Findings("draft")
    tree = read_tree(text, findings)
    draft: Draft | None = read_document(tree, findings) if tree is not None else None
    if draft is None or findings.errors:
        return False
    names = [one.name for one in draft.procedure.chapters]
    return names == [*(one.name for one in before.chapters), name] and _steps(draft.procedure.chapters[:-1]) == _steps(
        before.chapters
    )


def _steps(chapters: tuple[Chapter, ...]) -> list[tuple[str, str]]:
    return [(one.id, one.text) for some in chapters for one in some.steps]
