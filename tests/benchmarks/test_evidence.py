"""Evidence for one setup takes under 2 ms without its series and under 10 ms with it, on one core."""

import pytest

from problems.cell.evidence import evidence
from problems.cell.report import as_json
from problems.cell.setup import Setup

SETUPS = {
    "neutral salt": Setup("KNO3", 250.0, "graphite", "graphite", "phenol red", 0.4, 720.0),
    "sulfate": Setup("K2SO4", 100.0, "platinum", "platinum", "litmus", 0.1, 600.0),
    "precipitate": Setup("Al2(SO4)3", 50.0, "graphite", "graphite", "methyl orange", 0.1, 600.0),
    "copper": Setup("CuSO4", 200.0, "copper", "copper", None, 0.2, 900.0),
    "brine": Setup("NaCl", 2000.0, "graphite", "graphite", "bromothymol blue", 0.1, 300.0),
}


@pytest.mark.benchmark(group="evidence")
@pytest.mark.parametrize("name", SETUPS)
def test_evidence_takes_less_than_2_ms(benchmark, name: str) -> None:  # type: ignore[no-untyped-def]
    benchmark(evidence, SETUPS[name])
    assert benchmark.stats.stats.median < 2e-3


@pytest.mark.benchmark(group="evidence with series")
@pytest.mark.parametrize("name", SETUPS)
def test_evidence_with_series_takes_less_than_10_ms(benchmark, name: str) -> None:  # type: ignore[no-untyped-def]
    benchmark(as_json, SETUPS[name])
    assert benchmark.stats.stats.median < 10e-3
