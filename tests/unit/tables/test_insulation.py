"""Insulations: types, class letters, temperatures."""

from __future__ import annotations

import pytest

from groundstrap.errors import OutOfRangeError, UnknownNameError
from groundstrap.tables import default_insulation, insulation, insulation_names


@pytest.mark.parametrize(
    ("name", "class_c", "material", "short_c"),
    [
        ("70 degC", 70, "PVC", 160),
        ("85 degC", 85, "PVC", 160),
        ("105 degC", 105, "PVC", 160),
        ("125 degC", 125, "XLPE", 250),
        ("105 °C", 105, "PVC", 160),
        ("PVC", 70, "PVC", 160),
        ("pvc", 70, "PVC", 160),
        ("XLPE", 90, "XLPE", 250),
        ("class B", 100, "PVC", 160),
        ("B", 100, "PVC", 160),
        ("ISO 6722 class C", 125, "XLPE", 250),
        ("TXL", 125, "XLPE", 250),
        ("GPT", 80, "PVC", 160),
        ("boat cable", 105, "PVC", 160),
    ],
)
def test_known_names(name: str, class_c: float, material: str, short_c: float) -> None:
    found = insulation(name)
    assert (found.class_c, found.material, found.short_circuit_c) == (class_c, material, short_c)
    assert found.overload_6h_c == class_c + 50


def test_every_name_reads_and_its_limits_stand_in_order() -> None:
    for name in insulation_names():
        found = insulation(name)
        assert 60 <= found.class_c < found.overload_6h_c
        assert found.class_c < found.short_circuit_c
        assert 0.1 < found.k_w_per_mk < 0.5
        assert 0.5 < found.emissivity < 1


def test_where_no_standard_states_a_short_circuit_limit_it_says_so() -> None:
    assert insulation("silicone").short_circuit_c == insulation("silicone").overload_6h_c
    assert insulation("silicone").short_circuit_source == "own-judgement"


def test_unknown_name_names_the_nearest() -> None:
    with pytest.raises(UnknownNameError) as caught:
        insulation("TXI")
    assert caught.value.nearest == "TXL"


@pytest.mark.parametrize("name", ["20 degC", "900 degC"])
def test_temperatures_that_no_insulation_has(name: str) -> None:
    with pytest.raises(OutOfRangeError):
        insulation(name)


def test_defaults_say_why() -> None:
    assert default_insulation("road").insulation.class_c == 70
    assert default_insulation("boat").insulation.class_c == 105
    assert "no insulation is named" in default_insulation("boat").why
    with pytest.raises(UnknownNameError):
        default_insulation("rail")
