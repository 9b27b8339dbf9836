"""What the doctor looks at beside sound and model: the journal's file, procedures, page, service, clock and backup."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from assistant.desk.options import DISPLAY_PORT
from assistant.display.server import DisplayFault, listening_socket
from assistant.journal.opening import journal_damage, journal_is_there, journal_path, open_journal
from assistant.journal.port import JobState
from assistant.kept.own_procedures import own_procedures
from assistant.procedure.format.reader import read_procedure
from assistant.service import systemd
from assistant.service.noted import last_backup
from assistant.service.part import FAULT, GOOD, LOOK, Part
from assistant.service.systemd import Shown
from assistant.settings import Settings, home
from assistant.shipped import shipped
from assistant.terminal.exits import Exit

BACKUP_DAYS = 7
"""An older backup is told of [days]; ours."""
_DAY_MS = 86_400_000
_AHEAD_MS = 300_000
"""By so much [ms] the journal may be ahead of the clock, which a time service corrects in small steps; ours."""


def look_at_journal() -> str | Part:
    """Count the jobs, and look whether the file fits together.

    Raises:
        JournalFault: it cannot be read.
    """
    if not journal_is_there(home()):
        return f"{journal_path(home())}, which the first job makes"
    if damage := journal_damage(home()):
        sentence = f"{journal_path(home())} is damaged ({damage}): move it to a safe place, and restore a backup."
        return Part("journal", FAULT, sentence, Exit.JOURNAL)
    with open_journal(home(), read_only=True) as journal:
        jobs = list(journal.scan())
    open_ones = sum(job.state is not JobState.CLOSED for job in jobs)
    return f"{journal_path(home())}, {len(jobs)} {'job' if len(jobs) == 1 else 'jobs'}, {open_ones} of them not closed"


def look_at_procedures(settings: Settings) -> Part:
    """Read the procedures of the bay; those that came with the program were read when it was made.

    Raises:
        Refusal: the setting names no folder.
    """
    folder = own_procedures(settings).absolute()
    if folder == shipped("procedures"):
        return Part("procedures", GOOD, f"those for practice that came with the program, in {folder}")
    files = sorted(folder.glob("*.yaml"))
    read = {path: read_procedure(path) for path in files}
    broken = [path.name for path, one in read.items() if one.procedure is None]
    warned = sum(bool(one.findings) for one in read.values())
    if broken:
        names = ", ".join(broken[:3]) + (" and others" if len(broken) > 3 else "")
        sentence = f"{names} in {folder} cannot be used; see: assistant check {folder / broken[0]}"
        return Part("procedures", FAULT, sentence, Exit.PROCEDURE)
    said = f"{len(files)} in {folder}"
    if warned:
        return Part("procedures", LOOK, f"{said}, {warned} of them with warnings; see: assistant check {folder}/*.yaml")
    return Part("procedures", GOOD if files else LOOK, said)


def look_at_page(service: Shown | None, port: int = DISPLAY_PORT) -> Part:
    """Look whether the page's ``port`` can be had, or is served by the ``service``."""
    try:
        listening_socket("127.0.0.1", port).close()
    except DisplayFault as fault:
        if service is not None and service.active == "active":
            return Part("page", GOOD, f"port {port}, which the service has")
        return Part("page", LOOK, f"{fault.sentence} A job or desk that is open here may be what has it.")
    return Part("page", GOOD, f"port {port} is free")


def look_at_service(name: str, service: Shown | None, *, installed: bool, booted: bool) -> Part:
    """Tell how the service ``name`` is, as systemd has ``shown`` it."""
    if not installed:
        how = "assistant install-service makes one" if booted else "and systemd does not run this computer"
        return Part("service", GOOD, f"none, and no job needs one; {how}")
    if service is None:
        told = f"{name} is written, and no manager of yours runs here to ask: log in as its user and look again"
        return Part("service", LOOK, told)
    again = f", started again {service.restarts} times" if service.restarts else ""
    said = f"{name} is {service.active} ({service.sub}{again})" + (f": {service.status}" if service.status else "")
    if service.active == "active":
        return Part("service", LOOK if service.restarts else GOOD, said)
    if service.result in ("", "success"):
        return Part("service", LOOK, f"{said}; start it with: systemctl --user start {name}")
    why = f"{said}, because of {service.result}; see: journalctl --user -u {name} -n 50"
    return Part("service", FAULT, why, Exit.BROKEN)


def service_is_installed(name: str) -> bool:
    """Return whether there is a unit ``name`` of this user."""
    return (systemd.units_folder() / f"{name}.service").exists()


def look_at_clock(now_ms: int, folder: Path) -> str | Part:
    """Look whether the computer's clock can be right: not before the last entry, nor before this program was made.

    Raises:
        JournalFault: the journal cannot be read.
    """
    made_ms = round(Path(__file__).stat().st_mtime * 1000)
    last_ms = 0
    if journal_is_there(folder):
        with open_journal(folder, read_only=True) as journal:
            last_ms = max((job.last_at_ms for job in journal.scan()), default=0)
    said = _minute(now_ms)
    for then_ms, what in ((last_ms, "the last entry of the journal"), (made_ms, "this program was installed")):
        if now_ms < then_ms - _AHEAD_MS:
            advice = "set it with timedatectl, or let a time service do so"
            return Part("clock", LOOK, f"{said} is before {what} ({_minute(then_ms)}): {advice}.")
    return said


def look_at_backup(now_ms: int, folder: Path) -> Part:
    """Tell when the last backup was made, and where."""
    last = last_backup(folder)
    if last is None:
        if not journal_is_there(folder):
            return Part("backup", GOOD, "none, and there is nothing to keep yet")
        return Part("backup", LOOK, "none was made here: assistant backup FILE, such as one on a stick")
    days = (now_ms - last.at_ms) // _DAY_MS
    said = f"{_minute(last.at_ms)}, to {last.file}"
    if days >= BACKUP_DAYS:
        return Part("backup", LOOK, f"{said}, {days} days ago: make one with assistant backup FILE")
    return Part("backup", GOOD, said)


def _minute(at_ms: int) -> str:
    return datetime.fromtimestamp(at_ms / 1000, UTC).astimezone().strftime("%Y-%m-%d %H:%M")
