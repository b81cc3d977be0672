"""A class of students with its teachers, and the word that lets a student in."""

from __future__ import annotations

import secrets
import uuid
from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING

from django.conf import settings
from django.contrib.auth import get_user_model
from django.db import IntegrityError, models, transaction
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from accounts.models.users import known_time_zone

if TYPE_CHECKING:
    from accounts.models.users import User

# No letter that is taken for a digit or for another letter, on a board or read aloud.
JOIN_LETTERS = "ACDEFHJKMPRTWXY"
JOIN_WORD_LENGTH = 8
TRIES_FOR_A_FREE_WORD = 5


def make_join_word() -> str:
    """Fifteen letters to the eighth power: about 31 bits, beside the throttle of the join page."""
    return "".join(secrets.choice(JOIN_LETTERS) for _ in range(JOIN_WORD_LENGTH))


def site_time_zone() -> str:
    return settings.TIME_ZONE


class SchoolClassQuerySet(models.QuerySet["SchoolClass"]):
    def taught_by(self, teacher: User) -> SchoolClassQuerySet:
        return self.filter(memberships__user=teacher, memberships__role="teacher")

    def attended_by(self, student: User) -> SchoolClassQuerySet:
        return self.filter(memberships__user=student, memberships__role="student")

    def current(self) -> SchoolClassQuerySet:
        return self.filter(archived_at=None)

    def counted(self) -> SchoolClassQuerySet:
        """With the number of students of each as `students`."""
        of_class = Membership.objects.filter(school_class=models.OuterRef("pk"), role="student")
        number = of_class.order_by().values("school_class").annotate(number=models.Count("pk"))
        return self.annotate(students=Coalesce(models.Subquery(number.values("number")), 0))

    def with_join_word(self, typed: str) -> SchoolClassQuerySet:
        """The open class of this join word; case, spaces and hyphens do not count."""
        word = "".join(typed.split()).replace("-", "").upper()
        return self.current().filter(join_word=word, join_open=True)

    def start(self, teacher: User, name: str, **fields: object) -> SchoolClass:
        """A new class with its first teacher."""
        for _try in range(TRIES_FOR_A_FREE_WORD - 1):
            try:
                return self._start(teacher, name, **fields)
            except IntegrityError:
                continue
        return self._start(teacher, name, **fields)

    def _start(self, teacher: User, name: str, **fields: object) -> SchoolClass:
        with transaction.atomic():
            school_class = self.create(name=name, **fields)
            school_class.add_teacher(teacher)
        return school_class


class SchoolClass(models.Model):
    class Level(models.TextChoices):
        FIRST_YEAR = "first_year", _("first year")
        SECOND_YEAR = "second_year", _("second year")

    class HydrogenIon(models.TextChoices):
        PLAIN = "H+", "H⁺"
        HYDRONIUM = "H3O+", "H₃O⁺"

    class VolumeUnit(models.TextChoices):
        LITRE = "L", _("L and mL")
        DECIMETRE = "dm3", _("dm³ and cm³")

    class DecimalSign(models.TextChoices):
        OF_LANGUAGE = "", _("as the language has it")
        POINT = ".", _("point")
        COMMA = ",", _("comma")

    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(max_length=80)
    level = models.CharField(max_length=12, choices=Level.choices, default=Level.FIRST_YEAR)
    time_zone = models.CharField(max_length=64, default=site_time_zone, validators=[known_time_zone])
    exam_date = models.DateField(null=True, blank=True)
    # Names of steps; what is not in play is neither asked nor reported.
    not_taught = models.JSONField(default=list, blank=True)
    hydrogen_ion = models.CharField(max_length=4, choices=HydrogenIon.choices, default=HydrogenIon.PLAIN)
    asks_states = models.BooleanField(default=False)
    volume_unit = models.CharField(max_length=3, choices=VolumeUnit.choices, default=VolumeUnit.LITRE)
    decimal_sign = models.CharField(
        max_length=1, choices=DecimalSign.choices, default=DecimalSign.OF_LANGUAGE, blank=True
    )
    sourced_id = models.CharField(max_length=255, blank=True)
    join_word = models.CharField(max_length=JOIN_WORD_LENGTH, unique=True, default=make_join_word)
    join_open = models.BooleanField(default=True)
    archived_at = models.DateTimeField(null=True, blank=True)
    made_at = models.DateTimeField(default=timezone.now)
    members = models.ManyToManyField(
        settings.AUTH_USER_MODEL, through="accounts.Membership", related_name="school_classes"
    )

    objects = SchoolClassQuerySet.as_manager()

    class Meta:
        verbose_name = "class"
        verbose_name_plural = "classes"
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def add_student(self, user: User) -> Membership:
        """Joining twice changes nothing."""
        return self._add(user, Membership.Role.STUDENT)

    def add_teacher(self, user: User) -> Membership:
        return self._add(user, Membership.Role.TEACHER)

    def _add(self, user: User, role: str) -> Membership:
        membership, _ = Membership.objects.get_or_create(
            user=user, school_class=self, defaults={"role": role}
        )
        return membership

    def remove_students(self, users: Iterable[User]) -> list[int]:
        """Out of this class; accounts and answers stay. The keys of those who were in it."""
        leaving = self.memberships.filter(user__in=users, role=Membership.Role.STUDENT)
        keys = list(leaving.values_list("user", flat=True))
        leaving.delete()
        return keys

    def bring_students(self, keys: Iterable[int]) -> None:
        """Students by their keys, back into the class; who is gone or in it already is passed over."""
        there = set(self.memberships.filter(user__in=keys).values_list("user", flat=True))
        found = get_user_model().objects.filter(pk__in=keys).exclude(pk__in=there)
        self.memberships.bulk_create(
            Membership(user_id=user.pk, school_class=self, role=Membership.Role.STUDENT) for user in found
        )

    def change_join_word(self) -> None:
        """Another word, and open or closed as before."""
        for _try in range(TRIES_FOR_A_FREE_WORD):
            self.join_word = make_join_word()
            if not SchoolClass.objects.filter(join_word=self.join_word).exists():
                break
        self.save(update_fields=["join_word"])

    def let_join(self, is_open: bool) -> None:
        self.join_open = is_open
        self.save(update_fields=["join_open"])

    def archive(self, at: datetime) -> None:
        """Off the lists and shut to new students; archiving twice keeps the first date."""
        self.archived_at = self.archived_at or at
        self.save(update_fields=["archived_at"])

    def restore(self) -> None:
        self.archived_at = None
        self.save(update_fields=["archived_at"])

    @property
    def join_word_to_read(self) -> str:
        """In two halves, as it is written on a board."""
        half = JOIN_WORD_LENGTH // 2
        return f"{self.join_word[:half]} {self.join_word[half:]}"


class Membership(models.Model):
    class Role(models.TextChoices):
        STUDENT = "student", "student"
        TEACHER = "teacher", "teacher"

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="memberships")
    school_class = models.ForeignKey(SchoolClass, on_delete=models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=8, choices=Role.choices)
    joined_at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["user", "school_class"], name="one_membership_per_class")
        ]
        indexes = [models.Index(fields=["school_class", "role"], name="members_by_role")]

    def __str__(self) -> str:
        return f"{self.role} {self.user_id} of class {self.school_class_id}"
