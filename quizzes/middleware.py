"""Headers of every response, the way to the sign-in page from a part of a page, and the reader's language."""

from collections.abc import Callable
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from django.conf import settings
from django.core.exceptions import BadRequest, RequestDataTooBig, SuspiciousOperation
from django.http import HttpRequest, HttpResponse, HttpResponseBase, UnreadablePostError
from django.http.multipartparser import MultiPartParserError
from django.shortcuts import resolve_url
from django.template.loader import render_to_string
from django.utils import timezone, translation
from django.utils.cache import patch_cache_control

from accounts.models import User
from accounts.requests import PageRequest
from problems import words

GetResponse = Callable[[HttpRequest], HttpResponseBase]

PERMISSIONS = ", ".join(
    f"{feature}=()"
    for feature in ("camera", "display-capture", "geolocation", "microphone", "payment", "serial", "usb")
)


class SecurityHeadersMiddleware:
    """Content-Security-Policy from SECURE_CSP, and what Django 5.2 does not set by itself."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response
        self.policy = "; ".join(
            f"{name} {' '.join(sources)}" for name, sources in settings.SECURE_CSP.items()
        )

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", self.policy)
        response.headers.setdefault("Permissions-Policy", PERMISSIONS)
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        return response


class ReadableFormsMiddleware:
    """Refuse a form that cannot be read, once and before anything else.

    Django refuses it too, but reads it again for the page that says so, and then fails.
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        try:
            request.POST  # noqa: B018
        except RequestDataTooBig:
            return _refused(413)
        except (BadRequest, SuspiciousOperation, MultiPartParserError, UnreadablePostError):
            return _refused(400)
        return self.get_response(request)


def _refused(status: int) -> HttpResponse:
    return HttpResponse(render_to_string("400.html"), status=status)


class HtmxSignInMiddleware:
    """Send the whole page to the sign-in page, where otherwise only a part would be replaced by it."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: PageRequest) -> HttpResponseBase:
        response = self.get_response(request)
        if request.htmx and response.status_code == 302 and _is_sign_in(response.headers["Location"]):
            return HttpResponse(headers={"HX-Redirect": _path_of_sign_in(request)})
        return response


def _is_sign_in(location: str) -> bool:
    return location.split("?")[0] == resolve_url(settings.LOGIN_URL)


def _path_of_sign_in(request: PageRequest) -> str:
    """Back to the page that held the part, not to the part itself."""
    path = resolve_url(settings.LOGIN_URL)
    try:
        page = request.htmx.current_url_abs_path
    except ValueError:  # what says where it stands is no address
        page = None
    return f"{path}?{urlencode({'next': page})}" if page else path


class ReaderMiddleware:
    """The reader's language and time zone for pages and for the sentences of `problems`."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        reader = request.user if isinstance(request.user, User) else None
        if reader is None:
            return self._answer(request, translation.get_language())
        language = translation.override(reader.language or translation.get_language())
        zone = timezone.override(ZoneInfo(reader.time_zone) if reader.time_zone else None)
        with language, zone:
            return self._answer(request, translation.get_language())

    def _answer(self, request: HttpRequest, language: str | None) -> HttpResponseBase:
        with words.language((language or settings.LANGUAGE_CODE).split("-")[0]):
            response = self.get_response(request)
        if request.user.is_authenticated:
            patch_cache_control(response, private=True, no_store=True)
        return response
