"""What the current carries between the arms."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from problems.cell import solution
from problems.cell.transport import carry, shares
from problems.chemistry.formula import Formula

F = Formula.parse


def numbers(salt: dict[str, float]) -> dict[str, float]:
    ions = {F(ion): amount for ion, amount in salt.items()}
    return {ion.plain: share for ion, share in shares(ions, ions).items()}


@pytest.mark.parametrize(
    ("salt", "ion", "expected"),
    [
        # Transport numbers at infinite dilution and 25 °C: handbook values, from memory.
        ({"K^+": 0.1, "Cl^-": 0.1}, "K^+", 0.491),
        ({"Na^+": 0.1, "Cl^-": 0.1}, "Na^+", 0.396),
        ({"H^+": 0.1, "Cl^-": 0.1}, "H^+", 0.821),
        ({"Ag^+": 0.1, "NO3^-": 0.1}, "Ag^+", 0.464),
        ({"K^+": 0.1, "NO3^-": 0.1}, "K^+", 0.507),
        ({"Na^+": 0.1, "OH^-": 0.1}, "OH^-", 0.798),
        ({"Cu^2+": 0.1, "SO4^2-": 0.1}, "Cu^2+", 0.401),
    ],
)
def test_transport_numbers(salt: dict[str, float], ion: str, expected: float) -> None:
    assert numbers(salt)[ion] == pytest.approx(expected, abs=3e-3)


AMOUNTS = st.floats(1e-6, 2.0)


@given(potassium=AMOUNTS, hydrogen=AMOUNTS, nitrate=AMOUNTS, sulfate=AMOUNTS)
def test_shares_add_up(potassium: float, hydrogen: float, nitrate: float, sulfate: float) -> None:
    cathode, anode = {F("NO3^-"): nitrate, F("SO4^2-"): sulfate}, {F("K^+"): potassium, F("H^+"): hydrogen}
    found = shares(cathode, anode)
    assert sum(found.values()) == pytest.approx(1.0)
    assert all(share > 0 for share in found.values())


def arms(parts: dict[str, float], ph: float) -> tuple[dict[str, float], dict[Formula, float]]:
    return dict(parts), solution.concentrations(parts, ph)


@given(electrons=st.floats(1e-9, 10.0))
def test_nothing_is_lost_on_the_way_and_nothing_falls_below_zero(electrons: float) -> None:
    cathode, cathode_ions = arms({"K^+": 0.1, "NO3^-": 0.1}, 12.0)
    anode, anode_ions = arms({"K^+": 0.1, "NO3^-": 0.1}, 2.0)
    carry(electrons, cathode, anode, cathode_ions, anode_ions, 1.0)
    for part in ("K^+", "NO3^-"):
        assert cathode[part] + anode[part] == pytest.approx(0.2)
        assert cathode[part] >= 0
        assert anode[part] >= 0
    assert cathode["K^+"] > 0.1 > anode["K^+"]
    assert anode["NO3^-"] > 0.1 > cathode["NO3^-"]


def test_small_charges_move_what_faraday_says() -> None:
    cathode, cathode_ions = arms({"Cu^2+": 0.1, "sulfate": 0.1}, 4.4)
    anode, anode_ions = arms({"Cu^2+": 0.1, "sulfate": 0.1}, 4.4)
    carry(1e-5, cathode, anode, cathode_ions, anode_ions, 1.0)
    assert cathode["Cu^2+"] - 0.1 == pytest.approx(0.401 * 1e-5 / 2, rel=5e-3)
    assert anode["sulfate"] - 0.1 == pytest.approx(0.599 * 1e-5 / 2, rel=5e-3)


def test_acid_carries_most_of_the_current_itself() -> None:
    cathode, cathode_ions = arms({"sulfate": 0.4}, 0.39)
    anode, anode_ions = arms({"sulfate": 0.4}, 0.39)
    carry(1e-3, cathode, anode, cathode_ions, anode_ions, 1.0)
    assert 0.4 - cathode["sulfate"] < 0.3e-3
