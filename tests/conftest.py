"""Settings for every test: hypothesis may take its time, since CI machines are slow and shared."""

from hypothesis import HealthCheck, settings

settings.register_profile("patient", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("patient")
