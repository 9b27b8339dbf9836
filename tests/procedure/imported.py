"""The practice tables as a maker prints them (``printed/*.csv``), imported and finished as by a person."""

from __future__ import annotations

from pathlib import Path

from typer.testing import CliRunner

from assistant.__main__ import app

PRINTED = Path(__file__).parent / "printed"
_WRITTEN = {
    "title: TODO": "title: Practice table",
    "revision: TODO": "revision: 1",
    "source: TODO": "source: Invented for the practice bench of Alder Row training workshop",
    "machine: TODO": "machine: Practice rig on the bench",
    "hazard_scheme: ansi": "hazard_scheme: ansi\n  values: invented",
    "conditions: [TODO]": "conditions: [The rig is clamped to the bench.]",
    "      - tighten: ": "      - id: tighten\n        tighten: ",
}
_CLOSING = "closing:\n  - {id: tools-back, check: 'Are all the tools back in their places?'}\n"
TOOL_IDS = {
    "wrench": "torque-wrench", "large-wrench": "large-torque-wrench", "gauge": "angle-gauge",
    "multiplier": "torque-multiplier",
}  # fmt: skip
"""By the ids of the files that were written by hand: those that the import makes of the names of the tools."""


def imported(table: Path, out: Path) -> Path:
    """Import ``table``, finish the draft, and return its file: groups and stages are those of the import alone."""
    draft = out / "draft.yaml"
    result = CliRunner().invoke(app, ["import", str(table), str(draft)])
    assert result.exit_code == 0, result.output
    lines = [line for line in draft.read_text("utf-8").splitlines() if not line.lstrip().startswith("#")]
    text = "\n".join(lines)
    for todo, written in _WRITTEN.items():
        assert text.count(todo) == 1, todo
        text = text.replace(todo, written)
    names = [line.split("name: ")[1].split(",")[0] for line in text.splitlines() if "size: " in line]
    checks = "".join(f'      - {{check: "Are the {name} in by hand?"}}\n' for name in names)
    text = text.replace("    steps:\n", f"    steps:\n{checks}", 1)
    tools = ", ".join(dict.fromkeys(line.split("id: ")[1].split(",")[0] for line in lines if "{id: " in line and
                                    "size: " not in line))  # fmt: skip
    text = text.replace("        stages:\n", f"        tools: [{tools}]\n        stages:\n", 1)
    finished = out / f"{table.stem}.yaml"
    finished.write_text(text[: text.index("closing:\n")] + _CLOSING, "utf-8")
    return finished
