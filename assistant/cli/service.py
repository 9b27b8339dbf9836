"""The bay as a service of its computer: install-service; and its backup."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from assistant.service.archive import Manifest


def install_service(
    bay: Annotated[
        list[str] | None,
        typer.Argument(metavar="[-- OPTION...]", help="Options that `assistant bay` gets, behind two hyphens."),
    ] = None,
    name: Annotated[
        str, typer.Option(help="What the service is called; a second bay needs another name.")
    ] = "assistant-bay",
    place: Annotated[
        Path | None,
        typer.Option(
            "--folder",
            file_okay=False,
            help="The folder that it starts in, such as that above your procedures folder; else this one.",
        ),
    ] = None,
    remove: Annotated[bool, typer.Option("--remove", help="Take the service away again.")] = False,
    only_print: Annotated[
        bool, typer.Option("--print", help="Print what would be written, and write nothing.")
    ] = False,
    force: Annotated[bool, typer.Option("--force", help="Replace or remove a unit that a person changed.")] = False,
) -> None:
    """Let `assistant bay` run as a service: started with the computer, watched, and started again when it fails.

    Writes systemd units of this user, which an administrator need not allow, and says how to undo it. The unit that
    looks after the bay every hour, a timer for the doctor, comes with it. docs/service.md has more.
    """
    from assistant.bay.refusing import guarded
    from assistant.service import install, systemd
    from assistant.terminal.exits import Exit

    if remove and (only_print or bay):
        raise typer.BadParameter("--remove goes with --name and --force alone.")

    def work() -> Exit:
        if remove:
            return install.remove(name, force=force)
        it = install.wanted_here(name, bay or (), place or Path())
        return install.print_units(it) if only_print else install.install(it, force=force, booted=systemd.is_booted())

    raise typer.Exit(guarded(work))


def backup(
    file: Annotated[
        Path, typer.Argument(metavar="[FILE]", readable=False, help="The file, or a folder for it; else this folder.")
    ] = Path(),
    procedures: Annotated[
        Path | None,
        typer.Option(exists=True, file_okay=False, help="The procedures of the bay; else those in ./procedures."),
    ] = None,
) -> None:
    """Write all that the bay keeps into one file, also while a job is at work: journal, settings, tools, photos, sound.

    The journal is taken as it is at one moment. The file is a ZIP with a list of its contents and their checksums; it
    is read back before it gets its name. Keep it on another disk, and where strangers do not find it.
    """
    from assistant.bay.refusing import guarded
    from assistant.clock import SteadyClock
    from assistant.service.backup import write_backup
    from assistant.settings import home, load_settings, settings_path
    from assistant.terminal.exits import Exit

    def work() -> Exit:
        settings, now_ms = load_settings(settings_path()), SteadyClock().wall_ms()
        path, manifest, left_out = write_backup(home(), settings, file, now_ms, procedures=procedures)
        print(f"Wrote {path}, {path.stat().st_size:,} bytes: {_contents(manifest)}.")
        for other in left_out:
            print(f"Left out, since it is no plain file that can be read: {other}")
        for job in sorted(job for job, chain in manifest.jobs.items() if not chain.good):
            print(f"Job {job} does not fit together, and was taken as it is; see: assistant verify {job}")
        return Exit.OK

    raise typer.Exit(guarded(work))


def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", readable=False, help="The backup.")],
    over: Annotated[
        bool, typer.Option("--over", help="Put it in the place of the bay that is there, which is kept beside it.")
    ] = False,
    check: Annotated[bool, typer.Option("--check", help="Only prove that it can be restored; change nothing.")] = False,
) -> None:
    """Put a backup into the data folder of this bay, which must be empty, on this computer or another one.

    All of it is unpacked beside the data folder first; checksums, the journal's file and the chain of each job must be
    as they were when the backup was made. Only then is anything changed.
    """
    from assistant.bay.refusing import guarded
    from assistant.clock import SteadyClock
    from assistant.service.restore import check_backup, restore_bay
    from assistant.settings import home
    from assistant.terminal.exits import Exit

    def work() -> Exit:
        if check:
            print(f"{file} can be restored: {_contents(check_backup(file))}.")
            return Exit.OK
        done = restore_bay(file, home(), SteadyClock().wall_ms(), over=over)
        print(f"Restored into {home()}: {_contents(done.manifest)}.")
        if done.before:
            print(f"What was there before is in {done.before}")
        for sentence in done.told:
            print(sentence)
        print(
            "On another computer: assistant mic-check finds its microphone and loudspeaker, assistant doctor the rest."
        )
        return Exit.OK

    raise typer.Exit(guarded(work))


def _contents(manifest: Manifest) -> str:
    jobs, files = len(manifest.jobs), len(manifest.files)
    return f"bay {manifest.bay}, {jobs} {'job' if jobs == 1 else 'jobs'}, {files} files, by version {manifest.program}"


def add_service(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    for command in (install_service, backup, restore):
        app.command()(command)
