"""A person of the school: a sign-in name, a name to show, and no address of any kind."""

from __future__ import annotations

import unicodedata
import uuid
import zoneinfo
from typing import TYPE_CHECKING, Any, ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.core.exceptions import ValidationError
from django.core.validators import RegexValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from accounts.models.classes import SchoolClass

sign_in_name_rule = RegexValidator(
    r"\A[^\W_][\w.\-]*\Z",
    _("Use letters, digits, dots, hyphens and underscores, and begin with a letter or digit."),
)


def known_time_zone(name: str) -> None:
    if name not in zoneinfo.available_timezones():
        raise ValidationError(_("%(name)s is no known time zone."), params={"name": name})


class UserQuerySet(models.QuerySet["User"]):
    def students_of(self, school_class: SchoolClass) -> UserQuerySet:
        return self._members(school_class, "student")

    def teachers_of(self, school_class: SchoolClass) -> UserQuerySet:
        return self._members(school_class, "teacher")

    def taught_by(self, teacher: User) -> UserQuerySet:
        """The students of every class that `teacher` teaches, each once."""
        taught = teacher.memberships.filter(role="teacher").values("school_class")
        return self.filter(
            pk__in=User.objects.filter(
                memberships__role="student", memberships__school_class__in=taught
            ).values("pk")
        )

    def _members(self, school_class: SchoolClass, role: str) -> UserQuerySet:
        return self.filter(memberships__school_class=school_class, memberships__role=role)


class UserManager(BaseUserManager["User"]):
    def get_queryset(self) -> UserQuerySet:
        return UserQuerySet(self.model, using=self._db)

    def students_of(self, school_class: SchoolClass) -> UserQuerySet:
        return self.get_queryset().students_of(school_class)

    def teachers_of(self, school_class: SchoolClass) -> UserQuerySet:
        return self.get_queryset().teachers_of(school_class)

    def taught_by(self, teacher: User) -> UserQuerySet:
        return self.get_queryset().taught_by(teacher)

    def create_user(self, username: str, password: str | None = None, **fields: Any) -> User:
        """Without a password nobody can sign in as this user until one is set."""
        fields.setdefault("display_name", username)
        user = self.model(username=User.normalize_username(username), **fields)
        user.set_password(password)
        user.save(using=self._db)
        return user

    def create_superuser(self, username: str, password: str | None = None, **fields: Any) -> User:
        """The school's IT: sees counts and health, no answers with names."""
        return self.create_user(username, password, is_staff=True, **fields)

    def get_by_natural_key(self, username: str | None) -> User:
        return self.get(username=User.normalize_username(username or ""))


class User(AbstractBaseUser):
    public_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    username = models.CharField(
        _("sign-in name"),
        max_length=40,
        unique=True,
        validators=[sign_in_name_rule],
        error_messages={"unique": _("This sign-in name is taken.")},
    )
    display_name = models.CharField(_("name shown to your teacher"), max_length=60)
    is_teacher = models.BooleanField(default=False)
    is_staff = models.BooleanField(default=False)
    # A teacher who may make accounts of other teachers.
    may_invite = models.BooleanField(default=False)
    is_active = models.BooleanField(default=True)
    # Empty means: as the site has it.
    time_zone = models.CharField(max_length=64, blank=True, validators=[known_time_zone])
    # Of a roster that names people by ids of another register; compared among a teacher's own students only.
    sourced_id = models.CharField(max_length=255, blank=True, db_index=True)
    language = models.CharField(max_length=8, blank=True)
    joined_at = models.DateTimeField(default=timezone.now)

    objects: ClassVar[UserManager] = UserManager()

    USERNAME_FIELD = "username"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    class Meta:
        ordering = ["display_name", "pk"]

    def __str__(self) -> str:
        return self.display_name

    @classmethod
    def normalize_username(cls, username: str) -> str:
        """Sign-in names differ by more than case or the way a letter is typed."""
        return unicodedata.normalize("NFKC", username).strip().casefold()

    def clean(self) -> None:
        self.username = self.normalize_username(self.username)
        self.display_name = " ".join(self.display_name.split())

    def get_short_name(self) -> str:
        return self.display_name.split(" ")[0]
