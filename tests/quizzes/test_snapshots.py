"""A question as it was asked comes back whole, for every skill."""

import pytest

from problems.registry import SKILLS, make_question
from quizzes.snapshots import Snapshot


@pytest.mark.parametrize("name", sorted(SKILLS))
def test_a_snapshot_comes_back_as_it_was(name: str) -> None:
    made = make_question(name, SKILLS[name].levels[-1], 3)
    snapshot = Snapshot.of(made)
    again = Snapshot.unpack(snapshot.pack())
    assert again.parts == made.parts
    assert (again.lead, dict(again.setup)) == (made.lead, dict(snapshot.setup))


def test_a_snapshot_is_small_enough_to_keep_thousands() -> None:
    sizes = [len(Snapshot.of(make_question(name, SKILLS[name].levels[0], 1)).pack()) for name in SKILLS]
    assert sum(sizes) / len(sizes) < 4_000
