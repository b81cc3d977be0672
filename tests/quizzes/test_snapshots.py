"""A question as it was asked comes back whole, for every skill."""

import json
import zlib

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


def test_a_question_stored_before_parts_named_several_still_opens() -> None:
    made = make_question("reaction_types.driven", "first_year", 2)
    fields = json.loads(zlib.decompress(Snapshot.of(made).pack()))
    for part in fields["parts"]:
        del part["several"]
    again = Snapshot.unpack(zlib.compress(json.dumps(fields).encode()))
    assert again.parts[0].several is (len(made.parts[0].grading["expected"]) > 1)


def test_a_stored_question_is_unpacked_once_however_often_it_is_asked_for() -> None:
    packed = Snapshot.of(make_question("stoichiometry.electrons", "first_year", 4)).pack()
    assert Snapshot.unpack(packed) is Snapshot.unpack(bytes(bytearray(packed)))
