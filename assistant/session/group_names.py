"""What the groups of bolts of a job are called by somebody who asks for them: their names, and parts of these."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.language.port import Language
from assistant.session.here import Here
from assistant.session.named import add_names


def group_names(here: Here, language: Language) -> Mapping[str, str]:
    """Return the ids of groups, joined with commas, by what is spoken for them.

    "Long cover bolts" are "long bolts" and "cover bolts" as well, and with their size "eight millimetre bolts".
    """
    found: dict[str, list[str]] = {}
    for group in here.job.groups.values():
        *others, noun = group.name.split() or [""]
        names = [group.name, *(f"{word} {noun}" for word in others), *([f"{group.size} {noun}"] if group.size else [])]
        for spoken in dict.fromkeys(map(language.phrases.name, names)):
            found.setdefault(spoken, []).append(group.id)
    found.pop("", None)
    return {spoken: ",".join(groups) for spoken, groups in found.items()}


add_names("where_bolts", group_names)
