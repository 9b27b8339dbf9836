"""How words follow one another in notes about an engine: what free speech is weighed with. Pure.

A small model comes with a list of words but knows nothing of how they follow one another. The engine makes a model of
pairs from phrases; here are phrases of the kind that mechanics leave as notes, written out from short lists. Any other
word may follow any word too, only less readily.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

_PARTS = """bolt, bolts, second bolt, first bolt, last bolt, stud, studs, nut, washer, thread, threads, hole, dowel,
pin, clip, clamp, hose, coolant hose, pipe, fuel line, oil line, gasket, old gasket, new gasket, seal, oil seal,
surface, gasket surface, cover, hub cover, timing cover, water pump, coolant pump, oil pump, pump, pulley, belt,
timing belt, chain, timing chain, tensioner, guide, sprocket, crankshaft, camshaft, bearing, bracket, mount,
housing, block, head, cylinder head, sump, oil pan, drain plug, plug, filter, oil filter, radiator, thermostat,
sensor, connector, wire, cable, battery, starter, alternator, injector, manifold, exhaust, piston, ring, valve,
spring, shaft, flange, plate, lever, tool, torque wrench, wrench, socket, part, parts, side, edge, corner, customer,
engine, oil, coolant, sealant, line, tank"""
_STATES = """loose, tight, damaged, worn, bent, broken, cracked, missing, stuck, dirty, clean, rusty, corroded,
scratched, leaking, wet, dry, new, old, torn, stripped, cross threaded, hard to reach, not tight, out of line, fine,
good, all right, bad, replaced, changed, cleaned, removed, fitted, marked, checked, burnt, swollen, noisy, too
short, too long, too tight, too loose, in place, not in place, the wrong size, needed, used, finished, hot, cold,
seized, chipped, dented"""
_FAULTS = """a crack, a leak, a scratch, a dent, a burr, corrosion, rust, dirt, wear, play, oil, coolant, damage, no
thread, an oil leak, a small crack, a deep scratch, metal, a noise, a gap"""
_PLACES = """on the left side, on the right side, at the left side, at the right side, at the bottom, at the top, at
the back, at the front, on the inside, on the outside, near the water pump, near the sump, near the hole, under the
cover, behind the pulley, in hole number five, in hole number two, on number three, by the block, around the edge"""
_DONE = """replaced, cleaned, changed, checked, used, found, marked, removed, fitted, ordered, left, put back, cut,
oiled, tightened, measured, needed"""
_SAID = """the foreman said go on, the foreman agreed, the foreman said so, he said it is fine, the customer knows
about it, the customer wants it changed, the customer wants the hose changed as well, needs replacing next time,
needs a new one, needs to be replaced, needs replacing soon, check it again next time, check again tomorrow, keep an
eye on it, i used a new one because the old one was broken, i used the old one again, i had to drill it out, i had
to cut it off, it was already like that, it was like that before, was already broken, was already damaged, somebody
has been here before, waiting for the part, waiting for parts, part is on order, not in stock, no time left today,
will be done tomorrow, done by hand, done twice, had to use force, could not reach it, cannot be reached from below,
came off by itself, fell into the engine, lost a washer, found a washer, found metal in the oil, oil was black, oil
was milky, there was too much sealant, there was no sealant, there is some play, there was a piece of gasket left,
let it cure over night, it still leaks, it does not fit, it did not fit, it would not come off, it will not turn,
turn it by hand, torque was too low, torque was too high, torque is right, reading was low, reading was high, second
time, one side only, both sides, all of them, two of them, one of them, the other one, the same as before"""
_COMMON = {
    400: "the",
    150: "a and is it was of to in on",
    60: "i not no at for with one has had be this that there as so",
    25: "he we you they are were have but or from by all an up out off two if when then can will do did been my new "
    "old because again already too very more next now before after only some other its into back through them me she "
    "what which who said go put left right time number three four five six seven eight nine ten used need needs still "
    "about",
}
"""How many times oftener than a rare word some words are said, in four classes (common practice, no source)."""


def free_phrases(words: Sequence[str]) -> list[str]:
    """Return phrases to make a model of word pairs from: every one of ``words``, and notes that hold no other word."""
    known = frozenset(words)
    frequent = (word for times, group in _COMMON.items() for word in group.split() for _ in range(times))
    written = [phrase for phrase in _notes() if known.issuperset(phrase.split())]
    return [*words, *(word for word in frequent if word in known), *written]


def written_endings() -> list[str]:
    return ["end note", "endnote", "end notes", "and note", "end of note", "end of notes", "and of note"]


def written_numbers() -> Mapping[str, str]:
    return {"to": "two", "too": "two", "for": "four", "ate": "eight", "won": "one"}


def _notes() -> Iterator[str]:
    parts, states, faults, places, done = map(_listed, (_PARTS, _STATES, _FAULTS, _PLACES, _DONE))
    for number, part in enumerate(parts):
        for turn in range(6):
            state = states[(7 * number + 9 * turn) % len(states)]
            place = places[(3 * number + turn) % len(places)]
            yield f"the {part} {('is', 'was', 'is', 'was', 'looks', 'were')[turn]} {state}"
            yield f"{part} {state} {place}"
            yield f"{faults[(number + turn) % len(faults)]} {('on', 'in', 'at', 'near', 'of', 'by')[turn]} the {part}"
            yield f"i {done[(number + turn) % len(done)]} the {part}"
        yield f"there is {faults[number % len(faults)]} on the {part}"
        yield f"a new {part} because the old one was {states[number % len(states)]}"
        yield f"thread in {places[number % len(places)].partition(' ')[2]} is {states[number % len(states)]}"
    for _ in range(4):
        yield from _listed(_SAID)


def _listed(text: str) -> list[str]:
    return [" ".join(part.split()) for part in text.split(",")]
