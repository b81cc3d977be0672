"""The address a request came from, as coarse as the throttle needs it."""

import ipaddress

from django.conf import settings
from django.http import HttpRequest


def address_of(request: HttpRequest) -> str:
    """The reader's IPv4 address or IPv6 network; the proxy's word is taken only where there is one."""
    found = request.META.get("REMOTE_ADDR", "")
    if settings.BEHIND_PROXY:
        # The last entry is the proxy's own; anything before it was sent by the reader.
        found = request.META.get("HTTP_X_FORWARDED_FOR", found).split(",")[-1].strip()
    return _network(found)


def _network(address: str) -> str:
    try:
        parsed = ipaddress.ip_address(address)
    except ValueError:
        return ""
    # One household or phone holds a whole /64 and can use any address in it.
    return str(ipaddress.ip_network(f"{parsed}/64", strict=False)) if parsed.version == 6 else str(parsed)
