"""How points and a teacher's decisions are put into words on pages."""

from django import template
from django.contrib.auth.models import AnonymousUser
from django.utils.formats import number_format
from django.utils.translation import gettext as _

from accounts.models import User
from quizzes.models import SentIn

register = template.Library()


@register.filter
def points(number: float) -> str:
    """At most two decimals, and none that is a closing zero."""
    rounded = round(number, 2)
    return str(number_format(rounded if rounded % 1 else int(rounded)))


@register.filter
def ruled_words(score: float) -> str:
    """How an answer stands by a teacher's decision."""
    words = {1.0: _("✓ Right,"), 0.5: _("◐ Partly right,"), 0.0: _("✗ Not right,")}
    return words[score]


@register.simple_tag
def waiting_for(teacher: User | AnonymousUser) -> int:
    """How many things that students sent in this teacher has not looked at."""
    return SentIn.objects.for_teacher(teacher).open().count() if isinstance(teacher, User) else 0
