"""Taking back what changed many rows, for a day.

An action asks first and says how many; doing it, it keeps a `Change` in the same transaction, with what is
needed to undo it. Beside the action stands how it is told and how it is undone:

    def _told(told: Told) -> str:
        return ngettext("%(count)d student removed from %(class)s", "…", told["count"]) % told

    @undoes("remove_students", _told)
    def _bring_back(change: Change, at: datetime) -> None:
        school_class = class_still_taught(change, change.payload["class"])
        ...

    with transaction.atomic():
        ...
        Change.objects.record(
            teacher, "remove_students", at, told={"count": 3, "class": name}, payload={"students": [4, 7, 9]}
        )

An undoing changes only what is still as the action left it, and raises CannotTakeBackError, with a sentence
for the reader, where that would not be right. The page "What you changed lately" needs nothing more; the
module only has to be imported by the site's addresses.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from accounts.models import Change, SchoolClass

Told = Mapping[str, Any]
Undo = Callable[[Change, datetime], None]


class CannotTakeBackError(Exception):
    """A change cannot be taken back (any more); `str()` is a sentence."""


@dataclass(frozen=True, slots=True)
class Action:
    """How a kind of change is told in a sentence, and how it is undone."""

    tell: Callable[[Told], str]
    undo: Undo


_actions: dict[str, Action] = {}


def undoes(name: str, tell: Callable[[Told], str]) -> Callable[[Undo], Undo]:
    """Marks the function that undoes the action of this name."""

    def keep(undo: Undo) -> Undo:
        if name in _actions:
            raise ValueError(f"Two functions undo {name}.")
        _actions[name] = Action(tell, undo)
        return undo

    return keep


def told(change: Change) -> str:
    """What was done, as a sentence."""
    action = _actions.get(change.action)
    return action.tell(change.told) if action else _("A change of an earlier version of this site")


def can_take_back(change: Change, at: datetime) -> bool:
    return change.is_open(at) and change.action in _actions


def take_back(change: Change, at: datetime) -> None:
    """Undo a change, once, all of it or nothing. Raises CannotTakeBackError."""
    with transaction.atomic():
        row = Change.objects.select_for_update().get(pk=change.pk)
        if row.taken_back_at is not None:
            raise CannotTakeBackError(_("This is taken back already."))
        if not can_take_back(row, at):
            raise CannotTakeBackError(_("More than a day has passed: this can no longer be taken back."))
        _actions[row.action].undo(row, at)
        row.taken_back_at, row.payload = at, {}
        row.save(update_fields=["taken_back_at", "payload"])


def class_still_taught(change: Change, pk: int) -> SchoolClass:
    """The class of a change, where its maker still teaches it. Raises CannotTakeBackError."""
    school_class = SchoolClass.objects.taught_by(change.who).filter(pk=pk).first()
    if school_class is None:
        raise CannotTakeBackError(_("You do not teach this class any more."))
    return school_class
