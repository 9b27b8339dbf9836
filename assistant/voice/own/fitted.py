"""Makes a model of the assistant's that has a person's change in it: the same files, and another net."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from assistant.voice.listening.limits import LIMITS_FILE, hash_of_net, limits_text, read_limits
from assistant.voice.own.learning import VoiceChange
from assistant.voice.own.tables import tables


def changed(record: bytes, change: VoiceChange) -> bytes:
    """Return the net ``record`` (a ``final.mdl``) with ``change`` put into its narrow layer.

    Raises:
        ValueError: it has no such layer, or one of another width.
    """
    made = bytearray(record)
    for name, weights, bias in tables(record):
        if name == "last":
            if bias.shape != change.factor.shape:
                raise ValueError("The narrow layer has another width.")
            weights.write(made, weights.read(record) * change.factor[:, None])
            bias.write(made, bias.read(record) * change.factor + change.offset)
            return bytes(made)
    raise ValueError("The net has no narrow layer.")


@contextmanager
def fitted_model(folder: Path, change: VoiceChange) -> Iterator[Path]:
    """Give a model directory like ``folder`` with ``change`` in its net, for its owner alone; it is gone at the end.

    Raises:
        ValueError: the net has no narrow layer of this width.
        OSError: there is no room for it, or a file cannot be read.
        VoiceFault: the limits of the model make no sense.
    """
    record = changed((folder / "am/final.mdl").read_bytes(), change)
    with TemporaryDirectory(prefix="assistant-voice-") as name:
        made = Path(name)
        (made / "am").mkdir()
        (made / "am/final.mdl").write_bytes(record)
        (made / "conf").mkdir()
        for other in (folder / "graph", *(folder / "conf").iterdir()):
            if other != folder / LIMITS_FILE:
                (made / other.relative_to(folder)).symlink_to(other.absolute())
        # The limits of the net hold for this one too: it is as sure of what it hears, only of more.
        (made / LIMITS_FILE).write_text(limits_text(read_limits(folder), hash_of_net(made)), "utf-8")
        yield made
