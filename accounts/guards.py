"""Who may open a page at all; which objects they see on it is decided in `access`."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.http import Http404, HttpRequest, HttpResponseBase

from accounts.models import User
from accounts.requests import PageRequest

P = ParamSpec("P")
View = Callable[Concatenate[PageRequest, P], HttpResponseBase]


def reader_of(request: HttpRequest) -> User:
    """The signed-in reader; a page without one is kept shut by the sign-in rule long before."""
    if not isinstance(request.user, User):
        raise Http404
    return request.user


def teachers_only(view: View[P]) -> View[P]:
    """A page of the teachers; to others it does not exist."""

    @wraps(view)
    def guarded(request: PageRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
        if not reader_of(request).is_teacher:
            raise Http404
        return view(request, *args, **kwargs)

    return guarded


def students_only(view: View[P]) -> View[P]:
    """A page of the students; to teachers and staff it does not exist."""

    @wraps(view)
    def guarded(request: PageRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponseBase:
        reader = reader_of(request)
        if reader.is_teacher or reader.is_staff:
            raise Http404
        return view(request, *args, **kwargs)

    return guarded
