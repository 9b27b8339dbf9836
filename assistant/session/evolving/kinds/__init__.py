"""What only one kind of step takes up: one module for each kind."""

from assistant.session.evolving.kinds import (  # noqa: F401
    amount,
    check,
    count,
    counting,
    fit,
    judged,
    measure,
    packs,
    retightened,
    shims,
    tighten,
    trouble,
)
from assistant.session.evolving.kinds import taking_back as _taking_back  # noqa: F401
from assistant.session.evolving.kinds import taking_troubles_back as _taking_troubles_back  # noqa: F401
