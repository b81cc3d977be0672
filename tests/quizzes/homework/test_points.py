"""Points as pages show them."""

import pytest

from quizzes.templatetags.marks import points


@pytest.mark.parametrize(
    ("number", "shown"),
    [(0, "0"), (3.0, "3"), (3.5, "3.5"), (2 + 1 / 3, "2.33"), (0.25, "0.25"), (1.999, "2"), (10, "10")],
)
def test_no_closing_zeros(number: float, shown: str) -> None:
    assert points(number) == shown
