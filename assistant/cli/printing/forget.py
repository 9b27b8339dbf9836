"""Removes personal data of one job: in the journal, and the sound and the photos that were kept beside it."""

from __future__ import annotations

import shutil
import time

from assistant.bay.refusing import guarded
from assistant.customer.links import customer_folder, forget_page
from assistant.hearing.own_voice import forget_voice
from assistant.journal.opening import open_journal
from assistant.pictures.store import store_of
from assistant.report.record.build import operators
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal


def forget_job(job: str, *, sure: bool) -> Exit:
    """Remove the personal data of the closed job ``job``; ``sure`` says that it was asked for knowingly."""
    return guarded(lambda: _forget(job, sure))


def _forget(job: str, sure: bool) -> Exit:
    with open_journal(home(), make=False) as journal:
        name = journal.resolve(job)
        if not sure:
            sentence = (
                f"This removes names, asset, customer, the path of the procedure and all dictated words of job {name} "
                "for good, its photos, and the voice profiles of who worked on it. "
                "If that is meant, say it again with --yes."
            )
            raise Refusal(sentence, Exit.USAGE)
        who = operators(journal.read(name).entries)
        count = journal.forget(name, round(time.time() * 1000))
    folder = home() / "audio" / name
    sound = "no sound was kept"
    if folder.exists():
        try:
            shutil.rmtree(folder)
        except OSError as fault:
            sentence = (
                f"The words are removed, but the sound in {folder} is not ({fault.strerror}): remove it yourself."
            )
            raise Refusal(sentence, Exit.OUTPUT) from fault
        sound = f"the sound in {folder} is removed"
    try:
        page = "what was shown to the customer is removed" if forget_page(name) else "the customer had no page"
    except OSError as fault:
        where = customer_folder(name)
        sentence = f"The words are removed, but the page in {where} is not ({fault.strerror}): remove it yourself."
        raise Refusal(sentence, Exit.OUTPUT) from fault
    photos = store_of(name)
    try:
        page = f"{page}; {'the photos are removed' if photos.forget() else 'there were no photos'}"
    except OSError as fault:
        sentence = f"The words are removed, but the photos in {photos.folder} are not ({fault.strerror}): remove them."
        raise Refusal(sentence, Exit.OUTPUT) from fault
    voices = [one for one in who if forget_voice(home(), one)]
    sound = f"{sound}; {page}; {len(voices) or 'no'} voice {'profile' if len(voices) == 1 else 'profiles'} removed"
    if not count:
        print(f"Nothing personal is left in the entries of job {name}; {sound}.")
        return Exit.OK
    print(
        f"Personal data is removed from {count} entries of job {name}; {sound}. Its chain fits as before. "
        "Records, labels, calendar files and backups that were made before still hold it: look after them yourself."
    )
    return Exit.OK
