"""The school that is put under load, and what a student needs to know to answer right.

Both need Django set up on the database of the run; the server has it open at the same time.
"""

from __future__ import annotations

import asyncio
import time
import uuid
from concurrent.futures import ThreadPoolExecutor
from functools import lru_cache

from django.contrib.auth.hashers import make_password
from django.db import OperationalError, connection

from accounts.models import Membership, SchoolClass, User
from quizzes.models import Question

PASSWORD = "copper and nitrate"
CLASS_SIZE = 30

Keys = tuple[tuple[bool, str | list[str]], ...]


def fill(students: int) -> list[str]:
    """Students in classes of thirty, and one teacher of all classes; the sign-in names of the students."""
    word = make_password(PASSWORD)
    teacher = User.objects.create(username="vera", display_name="Ms Vera", is_teacher=True, password=word)
    people = User.objects.bulk_create(
        User(username=f"student{number}", display_name=f"Student {number}", password=word)
        for number in range(students)
    )
    for start in range(0, students, CLASS_SIZE):
        school_class = SchoolClass.objects.create(name=f"Class {start // CLASS_SIZE + 1}")
        school_class.add_teacher(teacher)
        Membership.objects.bulk_create(
            Membership(user=each, school_class=school_class, role="student")
            for each in people[start : start + CLASS_SIZE]
        )
    return [each.username for each in people]


def first_class() -> uuid.UUID:
    """The class that the teacher watches."""
    return SchoolClass.objects.order_by("pk")[0].public_id


# Inside asyncio every task would open a connection of its own; one thread keeps one.
_READER = ThreadPoolExecutor(1)


async def keys_of(question: str) -> Keys:
    """Of each part of a question whether it is a choice, and its key."""
    return await asyncio.get_running_loop().run_in_executor(_READER, _keys_of, question)


@lru_cache(maxsize=2048)
def _keys_of(question: str) -> Keys:
    while True:
        try:
            parts = Question.objects.get(public_id=question).snapshot.parts
        except OperationalError:
            # The database is being killed by this very run; it comes back.
            connection.close()
            time.sleep(0.1)
        else:
            return tuple((bool(part.options), part.grading["expected"]) for part in parts)
