"""What is said besides the numbers."""

from problems.cell.evidence import evidence

from .helpers import cell


def text(*arguments: object, **more: object) -> str:
    return " ".join(evidence(cell(*arguments, **more)).remarks)  # type: ignore[arg-type]


def test_the_ratio_that_is_read() -> None:
    assert "a little above 2 : 1" in text("KNO3", 0.1, "platinum")
    assert "2 : 1" not in text("CuSO4", 0.1)
    assert "2 : 1" not in text("NaCl", 0.1)
    assert "2 : 1" not in text("NaCl", 2.0)


def test_graphite_gives_carbon_dioxide() -> None:
    assert "crumbles" in text("KNO3", 0.1, "graphite")
    assert "crumbles" not in text("KNO3", 0.1, "platinum")
    assert "crumbles" not in text("KI", 0.1, "graphite")
    assert "crumbles" not in text("CuSO4", 0.1, "graphite:copper")


def test_start_colour_needs_a_start() -> None:
    assert "brought to pH 7" in text("KNO3", 0.1, indicator="litmus")
    assert "brought to pH 7" not in text("KNO3", 0.1)
    assert "brought to pH 7" not in text("NaOH", 0.1, indicator="litmus")


def test_what_the_ph_sets_aside_is_said() -> None:
    assert "activities are set aside" in text("KNO3", 0.1)
    assert "14.00" in text("KNO3", 0.1)
    assert "activities" not in text("SnCl2", 0.1)


def test_changes_are_gradual() -> None:
    assert "little by little" in text("CuSO4", 0.01, time=3600.0)
    assert "little by little" not in text("CuSO4", 0.1)


def test_a_refused_cell_has_none() -> None:
    assert evidence(cell("NH4Cl", 0.1)).remarks == ()
