"""A recogniser that knows who speaks: with whoever works, the net changes to the one that was fitted to that voice.

The grammar says who works. A hand-over is a grammar with another name in it, so from the next word on the other
person is heard with their own profile, or with none.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from assistant.events import Grammar
from assistant.language.chosen import LANGUAGE
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.limits import hash_of_net
from assistant.voice.listening.wrapped import WrappedRecogniser
from assistant.voice.own.fitted import fitted_model
from assistant.voice.own.profile import Profile, ProfileFault, profile_path, read_profile
from assistant.voice.ports import Recogniser, VoiceFault


def profile_for(folder: Path, name: str, model: Path) -> Profile | None:
    """Return the profile of ``name`` in the ``folder`` of all voices, if there is one, for the model in ``model``.

    Raises:
        ProfileFault: there is one, and it cannot be used with this model.
    """
    profile = read_profile(profile_path(folder, name))
    if profile is None:
        return None
    try:
        is_same = hash_of_net(model) == profile.net
    except OSError as fault:
        raise ProfileFault(f"The net of {model} cannot be read ({fault.strerror}).") from fault
    if not is_same:
        raise ProfileFault(
            f"The voice profile of {name} was made for another speech model, and is not used: "
            f"make it anew with: assistant voice {name!r}."
        )
    return profile


def hear_everybody(model: Path, folder: Path, tell: Callable[[str], None], microphone: Callable[[], str]) -> Recogniser:
    """Return the recogniser of the model directory ``model``, which takes on the voice of whoever works.

    Raises:
        VoiceFault: the model directory is missing or cannot be read.
    """
    load = partial(VoskRecogniser, LANGUAGE)
    return OwnVoices(load(model), load, model, folder, tell, microphone)


class OwnVoices(WrappedRecogniser):
    """Hears whoever works with the profile of that person, where there is one; else as without."""

    def __init__(
        self,
        usual: Recogniser,
        load: Callable[[Path], Recogniser],
        model: Path,
        folder: Path,
        tell: Callable[[str], None],
        microphone: Callable[[], str] = lambda: "",
    ) -> None:
        """Stand around ``usual``, the recogniser of the ``model``; ``load`` makes one of another model directory.

        ``folder`` holds all voices; ``tell`` gets a sentence when a voice is taken, or why it is not. ``microphone``
        says which one is listened to; "" where that is not known.
        """
        super().__init__(usual)
        self._usual, self._load, self._model, self._folder = usual, load, model, folder
        self._say, self._microphone = tell, microphone
        self._by = ""
        self._known: dict[str, Recogniser] = {}

    def set_grammar(self, grammar: Grammar) -> None:
        """Listen for these phrases, by the voice of whoever works, from the next utterance on."""
        if grammar.by != self._by:
            self._by = grammar.by
            self._inner = self._of(grammar.by)
        super().set_grammar(grammar)

    def _of(self, name: str) -> Recogniser:
        """Return what hears ``name`` best. One person's is kept, for a job that goes to and fro between two."""
        if not name:
            return self._usual
        if name not in self._known:
            try:
                self._known[name] = self._fitted(name)
            except ProfileFault as fault:
                self._say(fault.sentence)
                return self._usual
        return self._known[name]

    def _fitted(self, name: str) -> Recogniser:
        profile = profile_for(self._folder, name, self._model)
        if profile is None:
            return self._usual
        try:
            with fitted_model(self._model, profile.change) as made:
                found = self._load(made)
        except (OSError, ValueError, VoiceFault) as fault:
            raise ProfileFault(
                f"The voice profile of {name} cannot be put into the speech model, and is not used: "
                f"make it anew with: assistant voice {name!r}."
            ) from fault
        microphone = self._microphone()
        if microphone and profile.microphone and microphone != profile.microphone:
            self._say(
                f"The voice profile of {name} was made with the microphone {profile.microphone}, not this one: "
                f"it is used, but make it anew if hearing got worse."
            )
        else:
            self._say(f"The voice profile of {name} is used.")
        return found
