"""What is proved of the detector's arithmetic; in a file of its own, so that both cores prove."""

from __future__ import annotations

import pytest

from tools.prove.arithmetic import CLAIMS, DetectProof
from tools.prove.prover import WIDTHS


@pytest.fixture(scope="module", params=WIDTHS)
def arithmetic(request):
    return DetectProof(request.param)


@pytest.mark.slow
@pytest.mark.parametrize("key", CLAIMS)
def test_the_arithmetic_of_the_detector_keeps(arithmetic, key):
    assert arithmetic.holds(key)
