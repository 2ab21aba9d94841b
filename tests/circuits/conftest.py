"""Every circuit in turn, for the tests of this folder."""

import pytest

from pedalwright import circuits

from .samples import ODD_NAMES, Sample, sample_of


@pytest.fixture(params=(*circuits.names(), *ODD_NAMES))
def sample(request: pytest.FixtureRequest) -> Sample:
    """Every circuit in turn."""
    return sample_of(request.param)
