from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails


class PageRequest(HttpRequest):
    """A request as views get it, after the middleware has told what htmx asks for."""

    htmx: HtmxDetails
