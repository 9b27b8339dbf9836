"""How long the checker takes, and how its cost grows with a procedure's length: ``python -m tests.bench.checking``.

The files are made from the long demo: its steps again and again until there are as many as wanted, each time with
groups, timers and ids of their own, so that every rule has all of its work.
"""

from __future__ import annotations

import re
import time
from pathlib import Path

from assistant.procedure.format.reader import read_text

DEMO = Path(__file__).parents[2] / "procedures" / "hub-drive-reseal.yaml"
_NAMES = re.compile(r"\b(id|out|in|starts|before|timer|spare|group): ([a-z][a-z0-9-]*)")
_TOP = re.compile(r"^(?=[a-z]+:)", re.MULTILINE)


def procedure(copies: int, more: int = 0) -> bytes:
    """Return a file with ``copies`` times the steps of the demo, its closing and ``more`` checks, without errors."""
    parts = _TOP.split(DEMO.read_text("utf-8"))
    sections = {part.split(":", 1)[0]: part for part in parts if re.match("[a-z]+:", part)}
    text = sections["procedure"] + _spares_for(sections["preliminary"], copies)
    for name in ("groups", "timers", "chapters"):
        text += f"{name}:\n" + "".join(_own(_inside(sections[name]), copy) for copy in range(copies))
    text += sections["closing"].rstrip() + "\n"
    text += "".join(f'  - {{id: more-{n}, check: "Is the bolt of place {_letter(n)} tight?"}}\n' for n in range(more))
    return text.encode()


def of_100_steps() -> bytes:
    """Return a file of 100 steps."""
    return procedure(1, 100 - steps_of(procedure(1)))


def steps_of(data: bytes) -> int:
    """Return how many steps ``data`` has, the closing ones too."""
    it = read_text(data, "made.yaml").procedure
    assert it is not None
    return len(it.steps) + len(it.closing)


def _letter(number: int) -> str:
    return chr(ord("A") + number % 26)


def _inside(section: str) -> str:
    return section.split("\n", 1)[1].rstrip() + "\n"


def _own(text: str, copy: int) -> str:
    """Give the ids of groups, timers and steps the number of the copy; spares and tools are the same for all."""

    def renamed(match: re.Match[str]) -> str:
        keep = match[1] == "spare"
        return match[0] if keep else f"{match[1]}: {match[2]}-{copy}"

    return _NAMES.sub(renamed, text)


def _spares_for(text: str, copies: int) -> str:
    """List as many spares as all copies fit."""
    return re.sub(
        r"(quantity: )(\d+)(, single_use)", lambda match: f"{match[1]}{int(match[2]) * copies}{match[3]}", text
    )


def seconds(data: bytes, times: int) -> float:
    """Return the processor time [s] to read and check ``data`` ``times`` times."""
    begun = time.process_time()
    for _ in range(times):
        reading = read_text(data, "made.yaml")
    took = time.process_time() - begun
    assert reading.procedure is not None, reading.errors[:3]
    return took


def ms_a_step(copies: int) -> float:
    """Return the processor time [ms] for each step of a file, the least of five."""
    data = procedure(copies)
    return min(seconds(data, 1) for _ in range(5)) * 1000 / steps_of(data)


if __name__ == "__main__":
    made = of_100_steps()
    print(f"100 procedures of {steps_of(made)} steps: {seconds(made, 100):.2f} s")
    for count in (1, 2, 4, 6):
        print(f"{steps_of(procedure(count))} steps: {ms_a_step(count):.3f} ms a step")
