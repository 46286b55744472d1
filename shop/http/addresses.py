"""From where a request came."""

from ipaddress import ip_address

from django.conf import settings
from django.http import HttpRequest


def client_address(request: HttpRequest) -> str | None:
    """Return the caller's internet address, None where the server knows none.

    Behind TLS a proxy stands in front, and the last entry of X-Forwarded-For is the one that it
    wrote; those before it are whatever the caller says.
    """
    forwarded = request.headers.get("X-Forwarded-For", "") if settings.HTTPS else ""
    told = forwarded.rpartition(",")[2].strip() or request.META.get("REMOTE_ADDR", "")
    try:
        return str(ip_address(told))
    except ValueError:
        return None
