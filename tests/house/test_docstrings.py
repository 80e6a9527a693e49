"""Every docstring says what its place asks for; and the test that says so can fail."""

from __future__ import annotations

from types import ModuleType

import pytest

from tests.house.docstrings import faults_of
from tests.house.places import modules

GOOD_LAW = '''
def loop_resistance(length: float, resistance: float, *, cold: bool = False) -> float:
    """Resistance of a cable there and back.

    Parameters
    ----------
    length : float
        One way. [m]
    resistance : float
        Of one conductor. [ohm/m]
    cold : bool
        Whether the cable lies outdoors in winter.

    Returns
    -------
    float
        Resistance of the loop. [ohm]

    Notes
    -----
    Valid for direct current.

    References
    ----------
    .. [1] Theory.

    Examples
    --------
    >>> loop_resistance(2.0, 0.5)
    2.0
    """
    return 2.0 * length * resistance
'''

GOOD_RECORD = '''
import dataclasses

@dataclasses.dataclass(frozen=True, slots=True)
class Run:
    """One cable.

    Attributes
    ----------
    length : float
        One way. [m]
    """

    length: float
'''


def module_of(name: str, text: str) -> ModuleType:
    """A module of that name made from text, seen by nobody else."""
    module = ModuleType(name)
    exec(compile(text, name, "exec", dont_inherit=True), vars(module))
    return module


def test_every_docstring_of_the_package_says_what_its_place_asks_for():
    seen = list(modules())
    assert "hutwright.errors" in {module.__name__ for module in seen}
    assert [fault for module in seen for fault in faults_of(module)] == []


@pytest.mark.parametrize(
    ("name", "text"), [("hutwright.laws.sample", GOOD_LAW), ("hutwright.model.sample", GOOD_RECORD)]
)
def test_finds_no_fault_in_a_good_docstring(name, text):
    assert list(faults_of(module_of(name, text))) == []


@pytest.mark.parametrize(
    ("good", "bad", "fault"),
    [
        ("there and back.\n", "there and back\n", "does not end with a full stop"),
        ("    length : float\n        One way. [m]\n", "", "parameter length is not documented"),
        ("    length : float", "    longth : float", "documents longth, which is no parameter"),
        ("One way. [m]", "One way.", "parameter length has no [unit]"),
        (
            "    cold : bool\n        Whether the cable lies outdoors in winter.\n",
            "",
            "parameter cold is not doc",
        ),
        ("Resistance of the loop. [ohm]", "Resistance of the loop.", "what it returns has no [unit]"),
        (
            "    Returns\n    -------\n    float\n        Resistance of the loop. [ohm]\n",
            "",
            "has no Returns",
        ),
        ("Valid for direct", "Meant for direct", "Valid for"),
        ("    References\n    ----------\n    .. [1] Theory.\n", "", "has no References"),
        (">>> loop_resistance(2.0, 0.5)", "Two metres of it.", "has no Examples with a number"),
        ("    Notes\n    -----", "    Remarks\n    -------", "Unknown section Remarks"),
        (
            "    Notes\n    -----",
            "    Notes\n    -----\n    Twice.\n\n    Notes\n    -----",
            "cannot be read",
        ),
    ],
)
def test_finds_each_fault_of_a_law(good, bad, fault):
    assert good in GOOD_LAW
    found = list(faults_of(module_of("hutwright.laws.sample", GOOD_LAW.replace(good, bad))))
    assert any(fault in each for each in found), found


def test_finds_a_function_without_a_docstring_anywhere():
    module = module_of("hutwright.outputs.sample", "def report() -> str:\n    return ''\n")
    assert list(faults_of(module)) == ["hutwright.outputs.sample.report: has no docstring"]


def test_finds_a_parameter_that_went_out_of_date_outside_the_laws():
    text = GOOD_LAW.replace("resistance: float,", "ohms: float,").replace(
        "length * resistance", "length * ohms"
    )
    found = list(faults_of(module_of("hutwright.layout.sample", text)))
    assert [each.partition(": ")[2] for each in found] == [
        "parameter ohms is not documented",
        "documents resistance, which is no parameter",
    ]


@pytest.mark.parametrize(
    ("good", "bad", "fault"),
    [
        ("    length : float\n", "    lenght : float\n", "field length is not in Attributes"),
        ("    length : float\n", "    lenght : float\n", "Attributes has lenght, which is not there"),
        ("One cable.", "One cable", "full stop"),
        ('    """One cable.', '    x = """One cable.', "full stop"),
    ],
)
def test_finds_each_fault_of_a_record_of_the_model(good, bad, fault):
    found = list(faults_of(module_of("hutwright.model.sample", GOOD_RECORD.replace(good, bad))))
    assert any(fault in each for each in found), found


def test_leaves_alone_what_is_private_or_comes_from_elsewhere():
    module = module_of(
        "hutwright.laws.sample", "from math import sqrt\nfrom pathlib import Path\n\ndef _a(): ...\n"
    )
    assert list(faults_of(module)) == []
