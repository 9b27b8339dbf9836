"""Settings for every test: hypothesis may take its time, since CI machines are slow and shared. One browser for all."""

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile("patient", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("patient")


@pytest.fixture(scope="session")
def browser():
    """Debian's Chromium; one for the whole run, since Playwright allows no second one beside it."""
    from tests.display.browser import chromium

    with chromium() as started:
        yield started
