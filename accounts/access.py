"""One door to each class and person: the object this reader has a right to, or 404."""

import uuid
from datetime import datetime

from django.shortcuts import get_object_or_404

from accounts.models import Change, SchoolClass, User


def class_of_teacher(reader: User, public_id: uuid.UUID) -> SchoolClass:
    """A class that the reader teaches, archived ones included."""
    taught = SchoolClass.objects.taught_by(reader)
    return get_object_or_404(taught if reader.is_teacher else taught.none(), public_id=public_id)


def class_of_student(reader: User, public_id: uuid.UUID) -> SchoolClass:
    """A present class that the reader attends."""
    return get_object_or_404(SchoolClass.objects.attended_by(reader).current(), public_id=public_id)


def student_of_class(reader: User, class_id: uuid.UUID, student_id: uuid.UUID) -> tuple[SchoolClass, User]:
    """A student of a class that the reader teaches, with the class."""
    school_class = class_of_teacher(reader, class_id)
    return school_class, get_object_or_404(User.objects.students_of(school_class), public_id=student_id)


def student_of_teacher(reader: User, student_id: uuid.UUID) -> User:
    """A student of any class that the reader teaches."""
    taught = User.objects.taught_by(reader)
    return get_object_or_404(taught if reader.is_teacher else taught.none(), public_id=student_id)


def own_change(reader: User, public_id: uuid.UUID, at: datetime) -> Change:
    """One of the changes that the reader, a teacher, made lately."""
    lately = Change.objects.lately_by(reader, at)
    return get_object_or_404(lately if reader.is_teacher else lately.none(), public_id=public_id)
