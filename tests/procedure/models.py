"""Procedures as the format can hold them, made by hypothesis: every field of the model, with any value it may have."""

from __future__ import annotations

import dataclasses
from decimal import Decimal

from hypothesis import strategies as st

from assistant.advice.joint import Material
from assistant.facts.codes import ReadAt
from assistant.fastening.quantities import Angle, AngleUnit, Length, LengthUnit, Torque, TorqueUnit
from assistant.fastening.symbols import AMOUNTS, SYMBOLS
from assistant.fastening.wrench import STRAIGHT
from assistant.procedure import model
from assistant.procedure.amounts import Amount
from assistant.procedure.steps import check, count, do, fit, tighten, wait

TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")) | st.just(" "), min_size=1, max_size=40)
# The reader joins spaces, which are never spoken; letters that it refuses are another test's.
texts = TEXTS.map(lambda text: " ".join(text.split())).filter(
    lambda text: text and text not in {"~", "null", "Null", "NULL"}
) | st.sampled_from(
    [
        "yes",
        "no",
        "1.10",
        "010",
        "1:30",
        "a: b",
        "# 5",
        "'quoted'",
        '"',
        "- x",
        "[a]",
        "{b}",
        "null",
        "~",
        "&a",
        "*a",
        "!t",
        "?",
    ]
)
no_text = st.just("")
ids = st.from_regex(r"[a-z][a-z0-9-]{0,12}", fullmatch=True)


def decimals(high: str, low: str = "0.01") -> st.SearchStrategy[Decimal]:
    return st.decimals(low, high, places=2)


def many(of: st.SearchStrategy, least: int = 0, most: int = 2) -> st.SearchStrategy[tuple]:
    return st.lists(of, min_size=least, max_size=most).map(tuple)


hazards = st.builds(model.Hazard, st.sampled_from(model.SignalWord), texts, texts, texts)
severity = list(model.SignalWord)
hazard_lists = many(hazards).map(lambda them: tuple(sorted(them, key=lambda one: severity.index(one.word))))
bolts = st.lists(st.integers(1, 30), min_size=1, max_size=8, unique=True).map(tuple)
optional_id = st.none() | ids
optional_text = no_text | texts

FIELDS: dict[type, dict[str, st.SearchStrategy]] = {}
"""The strategies of the fields of each class of the model, so that a test can see when one is missing."""


def builds(kind: type, /, **fields: st.SearchStrategy) -> st.SearchStrategy:
    FIELDS[kind] = fields
    return st.builds(kind, **fields)


items = {
    "id": ids,
    "name": texts,
    "quantity": st.none() | decimals("100000"),
    "unit": optional_text,
    "note": optional_text,
    "part_number": optional_text,
}
equipment = st.builds(model.Item, **items)
supplies = builds(model.Item, **items, specification=optional_text)
spares = st.builds(model.Item, **items, single_use=st.booleans())
persons = builds(model.Person, kind=texts, count=st.integers(1, 99))
hidden = builds(model.HiddenBolt, bolt=st.integers(1, 999), where=texts)
wide = decimals("1000", "-1000")
wide_or_none = st.none() | decimals("1000")
torques = st.builds(Torque, decimals("190"), st.sampled_from(TorqueUnit))
angles = st.builds(Angle, decimals("9"), st.sampled_from(AngleUnit))
spots = builds(model.Spot, bolt=st.integers(1, 999), x=wide, y=wide)
middle = {"x": wide, "y": wide}
circles = {"circle": bolts, "start": st.none() | angles, "diameter": wide_or_none}
in_rows = {"rows": many(bolts, 1), "width": wide_or_none, "height": wide_or_none}
layouts = st.one_of(
    st.builds(model.Layout, st.just(model.LayoutKind.CIRCLE), **circles, **middle),
    st.builds(model.Layout, st.just(model.LayoutKind.ROWS), **in_rows, **middle),
    st.builds(model.Layout, st.just(model.LayoutKind.FREE), spots=many(spots, 1)),
)
FIELDS[model.Layout] = {"kind": layouts, **circles, **in_rows, **middle, "spots": spots}
lengths = st.builds(Length, decimals("390"), st.sampled_from(LengthUnit))
groups = builds(
    model.Group,
    id=ids,
    name=texts,
    size=texts,
    bolts=bolts.map(lambda them: tuple(sorted(them))),
    where=optional_text,
    hidden=many(hidden),
    single_use=st.booleans(),
    spare=optional_id,
    thread=optional_text,
    strength=optional_text,
    friction=st.none() | decimals("0.4", "0.04"),
    clamp_length=st.none() | lengths,
    clamped=st.none() | st.sampled_from(Material),
    retighten_at_most=st.none() | st.integers(1, 99),
    moves_on_from=st.none() | decimals("100", "1"),
    free_length=st.none() | decimals("900", "1").map(lambda most: model.Limits(None, most, "mm")),
    layout=st.none() | layouts,
    order=st.just(()) | bolts,
    # An order that was drafted is made again from the layout; tests/procedure/test_fastening_keys.py has it.
    order_drafted=no_text,
)
timers = builds(
    model.Timer, id=ids, name=texts, kind=st.sampled_from(model.TimerKind), seconds=st.integers(1, 30 * 24 * 3600)
)
both = st.tuples(decimals("999.99", "-5"), decimals("999.99", "-5")).map(sorted)
units = st.sampled_from(sorted(SYMBOLS))
limits = builds(model.Limits, low=st.none(), high=decimals("9"), unit=units) | st.one_of(
    st.builds(model.Limits, low=decimals("9"), high=st.none(), unit=units),
    st.builds(lambda pair, unit: model.Limits(*pair, unit), both, units),
)
reaches = builds(
    tighten.Reach,
    length=lengths,
    angle=st.just(STRAIGHT) | st.builds(Angle, decimals("180"), st.just(AngleUnit.DEGREE)),
    name=optional_text,
)
access = {
    "drag": st.none() | torques,
    "adapter": st.none() | reaches,
    "swing": st.none() | angles,
}


@st.composite
def limited(draw: st.DrawFn) -> tighten.Run:
    """Return a run; its limits, where it has any, are in one unit and lie around its target."""
    target = draw(torques | angles)
    low, high = draw(st.none() | st.just(target * Decimal("0.9"))), draw(st.none() | st.just(target * Decimal("1.1")))
    run = tighten.Run(draw(ids), draw(bolts), target, low=low, high=high, tool=draw(optional_id))
    return dataclasses.replace(run, **{name: draw(values) for name, values in access.items()})


runs = limited()
FIELDS[tighten.Run] = dict.fromkeys(("group", "bolts", "target", "low", "high", "drafted", "tool", *access), runs)
passes = builds(
    tighten.Pass,
    runs=many(runs, 1) | st.builds(lambda run: (run, run), runs),
    tool=optional_id,
    note=optional_text,
    purpose=st.sampled_from(tighten.StagePurpose),
    to_yield=st.booleans(),
    read=st.none() | st.sampled_from(ReadAt),
    repeat=st.integers(1, 20),
    together=st.booleans(),
)
numbers = st.sampled_from(["", "1", "3", "2a", "2.1", "B"])
stages = builds(
    tighten.Stage,
    passes=many(passes, 1),
    tool=optional_id,
    note=optional_text,
    exception=optional_text,
    number=numbers,
    label=no_text | texts.filter(lambda text: len(text) <= 60),
    reseat=numbers,
)
step = {
    "id": ids,
    "text": texts,
    "hazards": hazard_lists,
    "info": optional_text,
    "why": optional_text,
    "tools": many(ids),
    "supplies": many(ids),
    "minutes": st.none() | decimals("10000"),
    "starts_timer": optional_id,
    "before_timer": optional_id,
    "refits": optional_id,
    "not_refitted": optional_text,
    "lock": optional_id,
    "unlock": optional_id,
    "turns": st.sampled_from([None, True, False]),
    "against": many(ids),
    "needs": st.none() | many(ids),
    "picture": no_text | st.sampled_from(["lid.png", "Lid-2.from-above.jpeg"]),
    "gate": st.booleans(),
    "witness": st.booleans(),
    "photo": st.booleans(),
    "people": st.integers(1, 9),
    "helper": st.booleans(),
}
branch = {
    "steps": many(st.builds(do.DoStep, **step), 1),
    "title": optional_text,
    "why": optional_text,
    "minutes": st.none() | decimals("10000"),
    "tools": many(ids),
    "supplies": many(ids),
    "spares": many(ids),
    "then": st.sampled_from(model.Onward),
    "extra": st.booleans(),
}


def led(when: model.When) -> st.SearchStrategy[model.Branch | None]:
    return st.none() | st.builds(model.Branch, st.just(when), **branch)


offered = branch | {
    "title": texts, "why": texts, "minutes": decimals("10000"), "then": st.just(model.Onward.GO_ON),
    "extra": st.just(True),
}  # fmt: skip
FIELDS[model.Branch] = {"when": st.sampled_from(model.When), **branch}
step["offer"] = st.none() | st.builds(model.Branch, st.just(model.When.OFFER), **offered)
called = st.sampled_from(["shaft", "left pinion", "inlet"])
turnings = {f"if_{when.value}": led(when) for when in model.When if when is not model.When.OFFER}
amounts = st.builds(Amount, decimals("999.99"), st.sampled_from(sorted(AMOUNTS)))
steps = st.one_of(
    builds(do.DoStep, **step, amount=amounts, limits=st.none() | limits, shim_for=many(called)),
    st.builds(do.DoStep, **step),
    builds(check.CheckStep, **step, expect=st.booleans(), limits=st.none(), pack=st.none(), **turnings),
    builds(count.CountStep, **step, group=ids, direction=st.sampled_from(count.Direction), place=optional_text),
    builds(tighten.TightenStep, **step, stages=many(stages, 1)),
    builds(wait.WaitStep, **step, timer=ids),
    builds(fit.FitStep, **step, spare=ids, quantity=st.integers(1, 99)),
)
chapters = builds(model.Chapter, name=texts, steps=many(steps, 1))
waivers = builds(model.Waiver, rule=ids, reason=texts, at=optional_id)
approvals = builds(model.Approval, by=texts, on=st.dates().map(str), content=texts)
FIELDS[model.Hazard] = {"word": hazards, "hazard": texts, "consequence": texts, "avoid": texts}
FIELDS[model.Item]["single_use"] = st.booleans()
wholes = st.integers(1, 9_999_999).map(Decimal)
intervals = st.one_of(
    builds(
        model.Interval,
        distance=wholes,
        unit=st.sampled_from(["km", "mi"]),
        hours=st.none() | wholes,
        months=st.none() | st.integers(1, 1200),
    ),
    st.builds(model.Interval, hours=wholes, months=st.none() | st.integers(1, 1200)),
    st.builds(model.Interval, months=st.integers(1, 1200)),
)
procedures = builds(
    model.Procedure,
    id=ids,
    title=texts,
    revision=texts,
    source=texts,
    machine=texts,
    hazard_scheme=st.sampled_from(model.HazardScheme),
    values=st.sampled_from(("", "invented")),
    book_time=st.none() | st.integers(1, 30 * 24 * 3600),
    conditions=many(texts),
    persons=many(persons),
    support_equipment=many(equipment),
    supplies=many(supplies),
    spares=many(spares),
    safety=hazard_lists,
    groups=many(groups),
    timers=many(timers),
    chapters=many(chapters, 1),
    closing=many(steps, 1),
    approval=st.none() | approvals,
    waivers=many(waivers),
    due=st.none() | intervals,
)
"""Whole procedures. They are well written; what they say makes no sense, which is the rules' business."""
