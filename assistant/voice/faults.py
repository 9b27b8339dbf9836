"""The fault of a part of the voice, apart from the ports: with those comes what counts samples."""

from __future__ import annotations


class VoiceFault(Exception):
    """A part of the voice cannot work; ``sentence`` says what is wrong, where, and what to do next."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence
