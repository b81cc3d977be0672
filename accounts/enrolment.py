"""A roster meets the class: who is new, who is known, who cannot be taken; then all at once or nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.contrib.auth.hashers import make_password
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from accounts.changes import Told, class_still_taught, undoes
from accounts.models import Change, Membership, SchoolClass, User
from accounts.roster import Fault, Roster, Row


@dataclass(frozen=True, slots=True)
class Enrolment:
    """What taking a roster would do: accounts made, known students joined, those there already, faults."""

    new: tuple[Row, ...]
    known: tuple[tuple[Row, User], ...]
    present: tuple[Row, ...]
    faults: tuple[Fault, ...]

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows that would be taken, by line."""
        return tuple(sorted([*self.new, *(row for row, _ in self.known)], key=lambda row: row.line))


def plan(roster: Roster, school_class: SchoolClass, teacher: User) -> Enrolment:
    """Sort the rows. An account of nobody whom the teacher teaches is never joined to the class: whoever
    may put an account into a class may also set its password."""
    holders = _holders(roster)
    taught = set(User.objects.taught_by(teacher).values_list("pk", flat=True))
    present = set(User.objects.students_of(school_class).values_list("pk", flat=True))
    new: list[Row] = []
    known: list[tuple[Row, User]] = []
    there: list[Row] = []
    faults = list(roster.faults)
    for row in roster.rows:
        holder = holders.get(row.username)
        if holder is None:
            new.append(row)
        elif reason := _refusal(row, holder, taught):
            faults.append(Fault(row.line, f"{row.name}, {row.username}", reason))
        elif holder.pk in present:
            there.append(row)
        else:
            known.append((row, holder))
    faults.sort(key=lambda fault: fault.line)
    return Enrolment(tuple(new), tuple(known), tuple(there), tuple(faults))


@transaction.atomic
def enrol(enrolment: Enrolment, school_class: SchoolClass, teacher: User, at: datetime) -> int:
    """Make the accounts, without passwords, and let all into the class; how many. Raises IntegrityError
    where somebody took one of the names meanwhile, and then nothing is changed."""
    made = User.objects.bulk_create(
        User(username=row.username, display_name=row.name, password=make_password(None))
        for row in enrolment.new
    )
    students = [*made, *(user for _, user in enrolment.known)]
    Membership.objects.bulk_create(
        Membership(user=student, school_class=school_class, role=Membership.Role.STUDENT)
        for student in students
    )
    payload = {
        "class": school_class.pk,
        "made": [user.pk for user in made],
        "joined": [user.pk for _, user in enrolment.known],
    }
    told = {"class": school_class.name, "count": len(students)}
    Change.objects.record(teacher, "take_roster", at, told, payload)
    return len(students)


def told_enrolment(told: Told) -> str:
    sentence = ngettext(
        "%(count)d student taken into %(class)s from a file.",
        "%(count)d students taken into %(class)s from a file.",
        told["count"],
    )
    return sentence % told


@undoes("take_roster", told_enrolment)
def _take_out(change: Change, at: datetime) -> None:
    """Out of the class again. An account that the roster made and nobody has used yet goes, too."""
    school_class = class_still_taught(change, change.payload["class"])
    made, joined = change.payload["made"], change.payload["joined"]
    school_class.remove_students(User.objects.filter(pk__in=[*made, *joined]))
    User.objects.filter(pk__in=made, last_login=None, memberships=None).delete()


def _holders(roster: Roster) -> Mapping[str, User]:
    names = [row.username for row in roster.rows]
    return {user.username: user for user in User.objects.filter(username__in=names)}


def _refusal(row: Row, holder: User, taught: set[int]) -> str:
    """Why an account that has the sign-in name of a row is not this student's; empty where it is."""
    if holder.pk not in taught:
        return _("The sign-in name %(username)s is taken. Choose another.") % {"username": row.username}
    if holder.display_name.casefold() != row.name.casefold():
        return _("The sign-in name %(username)s belongs to %(name)s, whom you teach.") % {
            "username": row.username,
            "name": holder.display_name,
        }
    return ""
