"""The fragments of `quizzes.fragments` on whole pages."""

from django import template
from django.utils.safestring import SafeString

from quizzes.fragments import render

register = template.Library()


@register.simple_tag
def fragment(name: str, **given: object) -> SafeString:
    """The fragment of this name; what it shows is given by name."""
    return render(name, **given)
