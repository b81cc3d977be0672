"""The school in numbers, for those who keep the site: no names, no answers."""

from __future__ import annotations

import platform
from dataclasses import dataclass
from datetime import datetime, timedelta
from importlib.metadata import PackageNotFoundError, version

import django
from django.conf import settings
from django.db import connection
from django.db.models import Sum

from accounts.models import Look, SchoolClass, SignInThrottle, User
from quizzes.models import Answer, Calibration, HomeworkSet, SentIn
from quizzes.upkeep.backup import Backup, kept_backups
from quizzes.upkeep.health import Health, health

PACKAGES = ("voltameter", "django", "numpy", "sympy", "pint", "gunicorn", "whitenoise")


@dataclass(frozen=True, slots=True)
class School:
    """`counts` are sentences' numbers by name; `failed` counts tries to sign in within a day."""

    health: Health
    database: str
    counts: dict[str, int]
    failed: int
    calibrated: datetime | None
    backups: list[Backup]
    versions: dict[str, str]
    keeps: dict[str, int]


def school(at: datetime) -> School:
    last = Calibration.objects.order_by("-number").first()
    return School(
        health(),
        connection.vendor,
        _counts(at),
        SignInThrottle.objects.aggregate(tries=Sum("tries"))["tries"] or 0,
        last.made_at if last else None,
        kept_backups(settings.DATA_DIR)[:5],
        {"Python": platform.python_version(), **{name: _version(name) for name in PACKAGES}},
        {
            "answers": settings.KEEP_ANSWERS_DAYS,
            "looks": settings.KEEP_LOOKS_DAYS,
            "sign_in": settings.KEEP_SIGN_IN_DAYS,
        },
    )


def _counts(at: datetime) -> dict[str, int]:
    people = User.objects.filter(is_active=True, is_staff=False)
    return {
        "students": people.filter(is_teacher=False).count(),
        "teachers": people.filter(is_teacher=True).count(),
        "classes": SchoolClass.objects.current().count(),
        "answers": Answer.objects.count(),
        "answers_today": Answer.objects.since(at - timedelta(days=1)).count(),
        "sets": HomeworkSet.objects.count(),
        "waiting": SentIn.objects.open().count(),
        "looks": Look.objects.count(),
    }


def _version(name: str) -> str:
    if name == "django":
        return django.get_version()
    try:
        return version(name)
    except PackageNotFoundError:
        return "-"
