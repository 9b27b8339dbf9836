"""The one way to a language: a module for each topic, bundled. What each must have is in ``topics``.

A language is a package of modules; mypy looks that each has what its topic asks for. ``en`` is the first. What is
spoken and recognised at work is a :class:`Language`; procedures are written in a :class:`WrittenLanguage`.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.language.topics.bay import Equipment, Notes, Phrases
from assistant.language.topics.customer import Customer
from assistant.language.topics.detours import Detours
from assistant.language.topics.extra import ExtraWork
from assistant.language.topics.idle import Idle
from assistant.language.topics.job import Answers, Handover, Lists, Steps, Talk, Timers
from assistant.language.topics.judging import Judging
from assistant.language.topics.photos import Photos
from assistant.language.topics.planning import Planning
from assistant.language.topics.procedure import Dangers, Drafting, Machine, Mind, Needs, Parts, Wording
from assistant.language.topics.questions import Questions
from assistant.language.topics.scan import Scans
from assistant.language.topics.second import Seconds
from assistant.language.topics.shims import Shims
from assistant.language.topics.tables import Tables
from assistant.language.topics.taking_back import TakingBack
from assistant.language.topics.trade import Bolts, Numbers, Tools, Troubles, Units


@dataclass(frozen=True, slots=True)
class Language:
    """What is spoken and recognised: its code (ISO 639-1), and a module for each topic."""

    code: str
    phrases: Phrases
    numbers: Numbers
    units: Units
    steps: Steps
    answers: Answers
    tables: Tables
    judging: Judging
    shims: Shims
    bolts: Bolts
    tools: Tools
    lists: Lists
    troubles: Troubles
    handover: Handover
    seconds: Seconds
    timers: Timers
    questions: Questions
    planning: Planning
    photos: Photos
    extra: ExtraWork
    customer: Customer
    detours: Detours
    talk: Talk
    taking_back: TakingBack
    equipment: Equipment
    idle: Idle
    notes: Notes
    mind: Mind
    scans: Scans


@dataclass(frozen=True, slots=True)
class WrittenLanguage:
    """What procedures are written in: its code (ISO 639-1), and a module for each topic."""

    code: str
    wording: Wording
    parts: Parts
    needs: Needs
    dangers: Dangers
    machine: Machine
    drafting: Drafting
