"""Copper cores by name."""

from itertools import pairwise

import pytest

from hutwright import sources
from hutwright.catalogue.cores import CORES, CoreClass, larger
from hutwright.laws.ampacity import PVC_LIMIT
from hutwright.sources import Standing
from tests.published.conductors import CONDUIT_CAPACITY, MULTICORE_CAPACITY, OHM_PER_KM, SIZES_MM2

PRINTED = [
    (f"{size} mm2 {kind}", size, ohm)
    for kind, column in OHM_PER_KM.items()
    for size, ohm in zip(SIZES_MM2, column, strict=True)
]


@pytest.mark.published("IEC 60228:2004, tables 1 to 3, greatest resistance at 20 degC")
@pytest.mark.parametrize(("name", "size", "ohm_per_km"), PRINTED)
def test_each_core_has_its_printed_size_and_resistance(name, size, ohm_per_km):
    assert CORES[name].area == pytest.approx(float(size) * 1e-6, rel=1e-12)
    assert CORES[name].resistance_per_length == pytest.approx(ohm_per_km * 1e-3, rel=1e-12)


def test_there_are_no_other_cores():
    assert set(CORES) == {name for name, _, _ in PRINTED}


@pytest.mark.published("DIN VDE 0298-4:2023-06, table 11, multicore, 2 to 3 loaded, 30 degC")
@pytest.mark.parametrize(("size", "amperes"), MULTICORE_CAPACITY)
def test_flexible_cores_carry_the_printed_current(size, amperes):
    assert CORES[f"{size} mm2 class 5"].capacity == amperes
    assert CORES[f"{size} mm2 class 5 tinned"].capacity == amperes


@pytest.mark.published("DIN VDE 0298-4:2023-06, table 11, household flex, 2 loaded")
def test_the_thinnest_flexible_core_carries_what_a_household_flex_may():
    assert CORES["0.5 mm2 class 5"].capacity == 3.0


@pytest.mark.published("IEC 60364-5-52, table B.52.2, PVC, 2 loaded, method B2")
@pytest.mark.parametrize(("size", "amperes"), CONDUIT_CAPACITY)
def test_stranded_cores_carry_the_printed_current_in_conduit(size, amperes):
    assert CORES[f"{size} mm2 class 2"].capacity == amperes


@pytest.mark.recalled("52 A fits the printed rows of the same column: 38 A at 6 mm2 times (10 / 6) ** 0.62")
def test_the_one_capacity_from_memory_says_so_and_fits_its_column():
    weak = [core.name for core in CORES.values() if core.capacity_source.standing is Standing.RECALLED]
    assert weak == ["10 mm2 class 2"]
    assert CORES["10 mm2 class 2"].capacity == pytest.approx(38.0 * (10 / 6) ** 0.62, rel=0.02)


@pytest.mark.parametrize("core_class", CoreClass)
def test_a_thicker_core_of_a_class_resists_less_and_carries_more(core_class):
    row = [core for core in CORES.values() if core.core_class is core_class]
    assert len(row) == len(SIZES_MM2)
    for thin, thick in pairwise(row):
        assert thick.area > thin.area
        assert thick.resistance_per_length < thin.resistance_per_length
        assert thick.capacity > thin.capacity


def test_larger_names_the_thicker_cores_of_the_same_class_thin_to_thick():
    assert larger("2.5 mm2 class 5") == ("4 mm2 class 5", "6 mm2 class 5", "10 mm2 class 5")
    assert larger("10 mm2 class 2") == ()
    with pytest.raises(KeyError):
        larger("3 mm2 class 5")


def test_each_row_knows_its_name_and_sources():
    for name, core in CORES.items():
        assert core.name == name
        assert core.source in (sources.IEC_60228_CLASS_2, sources.IEC_60228_CLASS_5)
        assert core.insulation_limit == PVC_LIMIT


def test_the_table_cannot_be_changed():
    with pytest.raises(TypeError):
        CORES["mine"] = CORES["1 mm2 class 5"]  # type: ignore[index]
