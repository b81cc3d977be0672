"""A roster meets the class: who is new, who is known, who cannot be taken; then all at once or nothing."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from itertools import count

from django.contrib.auth.hashers import make_password
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from accounts.changes import Told, class_still_taught, undoes
from accounts.models import Change, Membership, SchoolClass, User
from accounts.oneroster import BundleClass
from accounts.roster import Fault, Roster, Row

LONGEST_MADE = 30
"""Sign-in names made of a name leave room for a number."""


@dataclass(frozen=True, slots=True)
class Enrolment:
    """What taking a roster would do: accounts made, known students joined, those there already, faults.

    `recognised` are students of the class whom a bundle names by an id that they do not have yet.
    """

    new: Sequence[Row] = field(default_factory=list)
    known: Sequence[tuple[Row, User]] = field(default_factory=list)
    recognised: Sequence[tuple[Row, User]] = field(default_factory=list)
    present: Sequence[Row] = field(default_factory=list)
    faults: Sequence[Fault] = field(default_factory=list)

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows that would be taken, by line."""
        taken = [*self.new, *(row for row, _user in (*self.known, *self.recognised))]
        return tuple(sorted(taken, key=lambda row: row.line))


def plan(roster: Roster, school_class: SchoolClass, teacher: User) -> Enrolment:
    """Sort the rows. An account of nobody whom the teacher teaches is never joined to the class: whoever
    may put an account into a class may also set its password."""
    sorting = _Sorting(roster, school_class, teacher)
    for row in roster.rows:
        sorting.sort(row)
    sorting.faults.sort(key=lambda fault: (fault.file, fault.line))
    return Enrolment(sorting.new, sorting.known, sorting.recognised, sorting.present, sorting.faults)


def proposed_to_leave(found: BundleClass, school_class: SchoolClass) -> Sequence[User]:
    """The students of the class whom a bundle no longer has in it; those without an id are left alone."""
    here = User.objects.students_of(school_class).exclude(sourced_id="")
    return [
        user
        for user in here
        if user.sourced_id in found.left or (found.is_whole and user.sourced_id not in found.mentioned)
    ]


class _Sorting:
    """The rows sorted so far, and what is known of the accounts that they may mean."""

    def __init__(self, roster: Roster, school_class: SchoolClass, teacher: User) -> None:
        self.new: list[Row] = []
        self.known: list[tuple[Row, User]] = []
        self.recognised: list[tuple[Row, User]] = []
        self.present: list[Row] = []
        self.faults: list[Fault] = list(roster.faults)
        self.taught = {user.pk: user for user in User.objects.taught_by(teacher)}
        self.here = {user.pk: user for user in User.objects.students_of(school_class)}
        self.by_id = {user.sourced_id: user for user in self.taught.values() if user.sourced_id}
        made = [row for row in roster.rows if not row.username]
        self.free = _free_names([row.name for row in made]) if made else {}
        self.holders = _holders(row.username for row in roster.rows if row.username)

    def sort(self, row: Row) -> None:
        user = self.by_id.get(row.sourced_id) if row.sourced_id else None
        if user is not None:
            self._known(row, user)
        elif row.sourced_id and (namesake := self._namesake(row.name)):
            self.recognised.append((replace(row, username=namesake.username), namesake))
        elif not row.name:
            reason = _("No user in users.csv has this id, and none of your students.")
            self.faults.append(Fault(row.line, row.sourced_id, reason, "enrollments.csv"))
        else:
            self._by_sign_in_name(row)

    def _known(self, row: Row, user: User) -> None:
        if user.pk in self.here:
            self.present.append(row)
        else:
            self.known.append((replace(row, name=user.display_name, username=user.username), user))

    def _by_sign_in_name(self, row: Row) -> None:
        row = row if row.username else replace(row, username=self.free[row.name].pop())
        holder = self.holders.get(row.username)
        if holder is None:
            self.new.append(row)
        elif reason := _refusal(row, holder, self.taught):
            self.faults.append(Fault(row.line, f"{row.name}, {row.username}", reason))
        elif holder.pk in self.here:
            self.present.append(row)
        else:
            self.known.append((row, holder))

    def _namesake(self, name: str) -> User | None:
        """The one student of the class with this name and without an id, taken once."""
        taken = {user.pk for _row, user in self.recognised}
        found = [
            user
            for user in self.here.values()
            if not user.sourced_id and user.display_name.casefold() == name.casefold()
        ]
        return found[0] if len(found) == 1 and found[0].pk not in taken else None


@transaction.atomic
def enrol(
    enrolment: Enrolment,
    school_class: SchoolClass,
    teacher: User,
    at: datetime,
    leaving: Collection[User] = (),
) -> int:
    """Make the accounts, without passwords, and let all into the class; how many. Who is `leaving` is
    taken out. Raises IntegrityError where somebody took one of the names meanwhile, and then nothing is
    changed."""
    made = User.objects.bulk_create(
        User(
            username=row.username,
            display_name=row.name,
            sourced_id=row.sourced_id,
            password=make_password(None),
        )
        for row in enrolment.new
    )
    students = [*made, *(user for _row, user in enrolment.known)]
    Membership.objects.bulk_create(
        Membership(user=student, school_class=school_class, role=Membership.Role.STUDENT)
        for student in students
    )
    for row, user in enrolment.recognised:
        User.objects.filter(pk=user.pk).update(sourced_id=row.sourced_id)
    left = school_class.remove_students(leaving)
    payload = {
        "class": school_class.pk,
        "made": [user.pk for user in made],
        "joined": [user.pk for _row, user in enrolment.known],
        "recognised": [user.pk for _row, user in enrolment.recognised],
        "left": left,
    }
    told = {"class": school_class.name, "count": len(students), "left": len(left)}
    Change.objects.record(teacher, "take_roster", at, told, payload)
    return len(students)


def told_enrolment(told: Told) -> str:
    sentence = ngettext(
        "%(count)d student taken into %(class)s from a file.",
        "%(count)d students taken into %(class)s from a file.",
        told["count"],
    )
    if not told.get("left"):
        return sentence % told
    more = ngettext("%(left)d student removed.", "%(left)d students removed.", told["left"])
    return f"{sentence % told} {more % told}"


@undoes("take_roster", told_enrolment)
def _take_out(change: Change, at: datetime) -> None:
    """Out of the class again. An account that the roster made and nobody has used yet goes, too."""
    school_class = class_still_taught(change, change.payload["class"])
    made, joined = change.payload["made"], change.payload["joined"]
    school_class.remove_students(User.objects.filter(pk__in=[*made, *joined]))
    User.objects.filter(pk__in=made, last_login=None, memberships=None).delete()
    User.objects.filter(pk__in=change.payload["recognised"]).update(sourced_id="")
    school_class.bring_students(change.payload["left"])


def _holders(names: Iterable[str]) -> Mapping[str, User]:
    return {user.username: user for user in User.objects.filter(username__in=list(names))}


def _free_names(names: Sequence[str]) -> dict[str, list[str]]:
    """Sign-in names that nobody has, made of names: as many for each as it is given, the first one last."""
    taken = set(User.objects.values_list("username", flat=True))
    found: dict[str, list[str]] = {name: [] for name in names}
    for name in names:
        stem = _stem(name)
        tries = (stem if number == 1 else f"{stem}{number}" for number in count(1))
        free = next(each for each in tries if each not in taken)
        taken.add(free)
        found[name].insert(0, free)
    return found


def _stem(name: str) -> str:
    """A sign-in name like `ines.m` for “Ines M.”; letters of any script."""
    words = re.findall(r"[^\W_]+", User.normalize_username(name))
    return ".".join(words)[:LONGEST_MADE].rstrip(".") or "student"


def _refusal(row: Row, holder: User, taught: Collection[int]) -> str:
    """Why an account that has the sign-in name of a row is not this student's; empty where it is."""
    if holder.pk not in taught:
        return _("The sign-in name %(username)s is taken. Choose another.") % {"username": row.username}
    if holder.display_name.casefold() != row.name.casefold():
        return _("The sign-in name %(username)s belongs to %(name)s, whom you teach.") % {
            "username": row.username,
            "name": holder.display_name,
        }
    return ""
