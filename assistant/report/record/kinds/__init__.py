"""One module for each kind of step that has words or tables of its own in the record."""

from assistant.report.record.kinds import (  # noqa: F401
    amount,
    check,
    count,
    fit,
    judged,
    measure,
    packs,
    shims,
    tighten,
    tighten_words,
    trouble_words,
    wait,
)
