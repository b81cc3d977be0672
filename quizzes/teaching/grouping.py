"""Pairs and small groups of students who lack the same thing: plain values in, a suggestion out.

Everyone stands in one group. What a group is said to lack is what at least two of its members lack with
enough certainty; a group without that is just company.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

SIZES = (2, 3, 4)


@dataclass(frozen=True, slots=True)
class Member:
    """One student: the topics that may be called weak, each with the chance that it is [0 to 1]."""

    name: str
    weak: Mapping[str, float]
    enough: bool = True


@dataclass(frozen=True, slots=True)
class Group:
    """`lacking` are those members for whom `topic` is weak; without a topic nobody is."""

    members: tuple[Member, ...]
    topic: str = ""

    @property
    def lacking(self) -> tuple[Member, ...]:
        return tuple(member for member in self.members if self.topic in member.weak)

    @property
    def enough(self) -> bool:
        """Whether there are answers enough to say of anyone here what is weak."""
        return any(member.enough for member in self.members)


def groups_of(members: Sequence[Member], size: int) -> list[Group]:
    """Groups of about `size` [2 to 4], the same for the same students in the same order.

    >>> ines, kim, bo = Member("Ines", {"redox": 0.9}), Member("Kim", {"redox": 0.8}), Member("Bo", {})
    >>> [([each.name for each in group.members], group.topic) for group in groups_of([ines, bo, kim], 2)]
    [(['Ines', 'Kim', 'Bo'], 'redox')]

    Raises ValueError for a size that makes no small group.
    """
    if size not in SIZES:
        raise ValueError(f"Groups of {size} are not suggested.")
    together = _by_topic(members)
    groups = [
        Group(part, topic)
        for topic, found in together.items()
        if len(found) > 1
        for part in _parts(found, size)
    ]
    placed = {id(member) for group in groups for member in group.members}
    return _with_rest(groups, [member for member in members if id(member) not in placed], size)


def _by_topic(members: Sequence[Member]) -> dict[str, list[Member]]:
    """Each at the surest weak topic; who would be alone there goes where others are."""
    topic_of = {
        place: max(member.weak, key=lambda topic: member.weak[topic])
        for place, member in enumerate(members)
        if member.weak
    }
    for place, topic in topic_of.items():
        others = [other for at, other in topic_of.items() if at != place]
        if topic not in others:
            shared = [each for each in members[place].weak if each in others]
            topic_of[place] = max(shared, key=others.count, default=topic)
    found: dict[str, list[Member]] = {}
    for place, topic in topic_of.items():
        found.setdefault(topic, []).append(members[place])
    return found


def _parts(members: Sequence[Member], size: int) -> list[tuple[Member, ...]]:
    """As even as can be, and nobody alone."""
    count = max(1, min(round(len(members) / size), len(members) // 2))
    return [tuple(members[place::count]) for place in range(count)]


def _with_rest(groups: list[Group], rest: Sequence[Member], size: int) -> list[Group]:
    """The others among themselves; one who is left over joins the smallest group."""
    if len(rest) != 1 or not groups:
        return groups + [Group(part) for part in _parts(rest, size) if part]
    place = min(range(len(groups)), key=lambda at: len(groups[at].members))
    joined = Group((*groups[place].members, *rest), groups[place].topic)
    return [*groups[:place], joined, *groups[place + 1 :]]
