"""Groups for a lesson: everyone in one of them, and nothing said that the answers do not carry."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quizzes.teaching.grouping import SIZES, Group, Member, groups_of

TOPICS = ("redox", "balancing", "acid_base")
WEAK = st.dictionaries(st.sampled_from(TOPICS), st.floats(0.8, 1), max_size=3)
CLASSES = st.lists(st.builds(Member, st.just("x"), WEAK, st.booleans()), max_size=45)


def names(groups: list[Group]) -> list[tuple[str, str]]:
    return [("".join(member.name for member in group.members), group.topic) for group in groups]


def test_who_lacks_the_same_sits_together() -> None:
    """By hand: A and C are weak in redox, B and D in balancing."""
    redox, balancing = {"redox": 0.9}, {"balancing": 0.95}
    members = [Member("A", redox), Member("B", balancing), Member("C", redox), Member("D", balancing)]
    assert names(groups_of(members, 2)) == [("AC", "redox"), ("BD", "balancing")]


def test_the_surest_weak_topic_decides() -> None:
    both = {"redox": 0.85, "balancing": 0.99}
    members = [Member("A", both), Member("B", {"balancing": 0.9}), Member("C", {"redox": 0.9})]
    [group] = groups_of([*members, Member("D", {"redox": 0.9})][:2], 2)
    assert group.topic == "balancing"


def test_who_would_be_alone_goes_where_others_lack_it_too() -> None:
    alone = Member("A", {"acid_base": 0.99, "redox": 0.82})
    members = [alone, Member("B", {"redox": 0.9}), Member("C", {"redox": 0.9})]
    assert names(groups_of(members, 3)) == [("ABC", "redox")]
    assert groups_of(members, 3)[0].lacking == tuple(members)


def test_one_left_over_joins_and_is_not_said_to_lack_it() -> None:
    members = [Member("A", {"redox": 0.9}), Member("B", {"redox": 0.9}), Member("C", {})]
    [group] = groups_of(members, 2)
    assert [member.name for member in group.members] == ["A", "B", "C"]
    assert [member.name for member in group.lacking] == ["A", "B"]


def test_without_enough_answers_a_group_is_only_company() -> None:
    groups = groups_of([Member(name, {}, enough=False) for name in "ABCD"], 2)
    assert [(group.topic, group.enough) for group in groups] == [("", False), ("", False)]


@pytest.mark.parametrize(
    ("number", "size", "sizes"),
    [(1, 2, [1]), (2, 4, [2]), (3, 2, [3]), (5, 2, [3, 2]), (5, 3, [3, 2]), (7, 3, [4, 3]), (6, 4, [3, 3]),
     (40, 3, [4] + 12 * [3])],
)  # fmt: skip
def test_sizes(number: int, size: int, sizes: list[int]) -> None:
    members = [Member(str(place), {"redox": 0.9}) for place in range(number)]
    assert sorted((len(group.members) for group in groups_of(members, size)), reverse=True) == sizes


def test_nobody_makes_no_group() -> None:
    assert groups_of([], 3) == []


@pytest.mark.parametrize("size", [-1, 0, 1, 5])
def test_other_sizes_are_not_suggested(size: int) -> None:
    with pytest.raises(ValueError, match="not suggested"):
        groups_of([Member("A", {})], size)


@given(CLASSES, st.sampled_from(SIZES))
def test_everyone_stands_in_one_group_of_a_fit_size(members: list[Member], size: int) -> None:
    groups = groups_of(members, size)
    assert sorted(id(each) for group in groups for each in group.members) == sorted(map(id, members))
    if len(members) > 1:
        assert all(2 <= len(group.members) <= size + 2 for group in groups)


@given(CLASSES, st.sampled_from(SIZES))
def test_a_topic_is_named_only_where_two_lack_it(members: list[Member], size: int) -> None:
    for group in groups_of(members, size):
        if group.topic:
            assert len(group.lacking) >= 2
            assert all(group.topic in member.weak for member in group.lacking)
        else:
            assert group.lacking == ()


@given(CLASSES, st.sampled_from(SIZES))
def test_the_same_class_gives_the_same_groups(members: list[Member], size: int) -> None:
    assert groups_of(members, size) == groups_of(list(members), size)
