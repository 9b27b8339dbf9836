"""What the shell offers when a person presses tab: jobs, procedures and devices. Nothing in here may print or fail."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

_ENDS = {".yaml", ".yml"}
_MOST = 200


def _quiet(find: Callable[[str], Iterator[str]]) -> Callable[[str], list[str]]:
    """Return ``find`` as typer wants it; where looking is not possible there is nothing to offer."""

    def offer(incomplete: str) -> list[str]:
        try:
            return [name for name in find(incomplete) if name.startswith(incomplete)][:_MOST]
        except Exception:  # noqa: BLE001 - a shell that completes has no place for a complaint
            return []

    return offer


def _procedures(incomplete: str) -> Iterator[str]:
    from assistant.shipped import demo_procedures
    from assistant.workshop.library_copy import bay_library

    typed = Path(incomplete)
    folder = typed if incomplete.endswith("/") else typed.parent
    for path in sorted(folder.iterdir()):
        if path.is_dir() and not path.name.startswith("."):
            yield f"{path}/"
        elif path.suffix in _ENDS:
            yield str(path)
    if "/" not in incomplete:
        yield from (one.id for one in bay_library().procedures())
        yield from (path.stem for path in demo_procedures())


def _jobs(_: str) -> Iterator[str]:
    from assistant.journal.opening import open_journal
    from assistant.settings import home

    yield "last"
    with open_journal(home(), read_only=True) as journal:
        yield from (job.id for job in journal.scan())


def _ends(*, microphone: bool) -> Callable[[str], Iterator[str]]:
    def find(_: str) -> Iterator[str]:
        from assistant.events import End
        from assistant.voice.adapters.portaudio import PortAudio

        library = PortAudio()
        try:
            end = End.MICROPHONE if microphone else End.LOUDSPEAKER
            yield from (device.name for device in library.devices() if device.serves(end))
        finally:
            library.close()

    return find


def _settings(_: str) -> Iterator[str]:
    from dataclasses import fields

    from assistant.settings import Settings

    yield from (field.name for field in fields(Settings))


known_procedures = _quiet(_procedures)
known_jobs = _quiet(_jobs)
microphones = _quiet(_ends(microphone=True))
loudspeakers = _quiet(_ends(microphone=False))
settings = _quiet(_settings)


def procedures_and_jobs(incomplete: str) -> list[str]:
    """Return the procedures and the jobs that begin so, for a command that takes either."""
    return [*known_procedures(incomplete), *known_jobs(incomplete)]
