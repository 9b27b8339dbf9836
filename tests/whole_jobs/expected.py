"""What the journal of a job must hold when everything is done as asked, worked out from the procedure file alone.

It reads the YAML with PyYAML's own loader and knows nothing of our reader or session, so it can disagree with them.
"""

import re
from pathlib import Path

import yaml

SEVERITY = ["danger", "warning", "caution", "notice"]


def numbers(bolts) -> list[int]:
    """Return a bolt list as numbers: 1, [1, 3], "3-4, 2"."""
    if isinstance(bolts, int):
        return [bolts]
    if isinstance(bolts, list):
        return bolts
    found = []
    for part in str(bolts).split(","):
        ends = [int(end) for end in part.strip().split("-")]
        found += range(ends[0], ends[-1] + 1)
    return found


def target(run: dict, stage: dict) -> dict:
    """Return the target of a run: its own, or that of its stage."""
    text = next(str(place[key]) for place in (run, stage) for key in ("torque", "angle") if key in place)
    value, unit = re.fullmatch(r"([\d.]+)\s*(\D+)", text).groups()
    return {"value": value, "unit": unit}


class Expected:
    """Walks a procedure file and writes down every fact of a job in which each step is done as asked."""

    def __init__(self, path: Path, *, waits_skipped: bool) -> None:
        self.file = yaml.safe_load(path.read_text("utf-8"))
        self.groups = {group["id"]: group for group in self.file["groups"]}
        self.timers = {timer["id"]: timer for timer in self.file["timers"]}
        self.last_limit = self._last_limits()
        self.waits_skipped = waits_skipped
        self.facts: list[dict] = []
        self._preliminary(self.file["preliminary"])
        for part in self.file["chapters"]:
            for step in part["steps"]:
                self._step(step)
        for step in self.file["closing"]:
            self._step(step)

    def _preliminary(self, preliminary) -> None:
        for key, what in (
            ("conditions", "conditions"),
            ("persons", "persons"),
            ("support_equipment", "equipment"),
            ("supplies", "supplies"),
            ("spares", "spares"),
        ):
            cards = range(1, -(-len(preliminary[key]) // 4) + 1)
            self.facts += [{"prepared": {"place": f"{what}:{card}", "missing": []}} for card in cards]
        for number, word in enumerate(self._gravest_first(preliminary["safety"]), 1):
            self.facts.append({"hazard_acknowledged": {"place": f"safety:{number}", "number": 1, "word": word}})

    def _gravest_first(self, hazards) -> list[str]:
        return [word for word in SEVERITY for hazard in hazards if word in hazard]

    def _last_limits(self) -> dict:
        steps = [step for part in self.file["chapters"] for step in part["steps"]]
        return {step["before"]: step["id"] for step in steps if "before" in step}

    def _step(self, step) -> None:
        for number, word in enumerate(self._gravest_first(step.get("hazards", [])), 1):
            self.facts.append({"hazard_acknowledged": {"place": step["id"], "number": number, "word": word}})
        if "wait" in step and self.waits_skipped:
            if step["timer"] not in self._started_elsewhere():
                self._started(step["timer"])
            asked = {"question": {"what": "skip_step", "step": step["id"]}}
            self.facts += [{"asked": asked}, {"skipped": {"place": step["id"], "what": "step"}}]
            return
        if "check" in step and "limits" in step:
            self.facts.append({"reading": {"step": step["id"], "in_limits": True}})
        elif "check" in step:
            self.facts.append({"check_answered": {"step": step["id"], "yes": True, "expected": True}})
        elif "count" in step:
            way = "out" if "out" in step else "in"
            count = len(numbers(self.groups[step[way]]["bolts"]))
            fields = {"group": step[way], "direction": way, "count": count, "expected": count}
            self._read_back(step, count)
            self.facts.append({"counted": {"step": step["id"], **fields}})
        elif "fit" in step:
            count = step.get("quantity", 1)
            fields = {"spare": step["spare"], "count": count, "expected": count}
            self._read_back(step, count)
            self.facts.append({"part_fitted": {"step": step["id"], **fields}})
        elif "tighten" in step:
            self._tighten(step)
        self.facts.append({"step_done": {"step": step["id"]}})
        if self.last_limit.get(step.get("before")) == step["id"]:
            self.facts.append({"timer_stopped": {"timer": step["before"]}})
        if "starts" in step:
            self._started(step["starts"])

    def _read_back(self, step, count) -> None:
        """Five may have been four, and nine may have been five: such a number is asked for before it is taken."""
        if count in (5, 9):
            question = {"what": "heard_number", "step": step["id"], "intent": "count", "number": str(count), "unit": ""}
            self.facts.append({"asked": {"question": question}})

    def _started_elsewhere(self) -> set:
        return {step["starts"] for part in self.file["chapters"] for step in part["steps"] if "starts" in step}

    def _started(self, timer) -> None:
        self.facts.append({"timer_started": {"timer": timer}})

    def _tighten(self, step) -> None:
        for number, stage in enumerate(step["stages"], start=1):
            for run in stage["runs"]:
                order = self.groups[run["group"]].get("order") if run["bolts"] == "order" else run["bolts"]
                fields = {"stage": number, "group": run["group"], "bolts": numbers(order)}
                self.facts.append({"tightened": {"step": step["id"], **fields, "target": target(run, stage)}})
            self.facts.append({"stage_done": {"step": step["id"], "stage": number}})
