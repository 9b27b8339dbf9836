"""From a state and a fact to the next state: what happened is taken as it was, and no rule of today is asked.

Each module enters its functions into the table.
"""

from assistant.session.evolving import (  # noqa: F401
    asking,
    correcting,
    customer,
    detours,
    extra,
    going,
    helpers,
    kinds,
    photos,
    reminders,
    scanning,
    second,
    steps,
    taking_back,
    withdrawn,
)
from assistant.session.evolving import taking_extra_back as _taking_extra_back  # noqa: F401
