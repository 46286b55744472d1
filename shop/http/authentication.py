"""Bearer tokens (RFC 6750): hashed, expiring, and found with their user in one query."""

from typing import Any

from django.utils import timezone
from knox.auth import TokenAuthentication as KnoxTokenAuthentication
from knox.crypto import hash_token
from knox.models import AuthToken
from rest_framework.exceptions import AuthenticationFailed


class TokenAuthentication(KnoxTokenAuthentication):  # type: ignore[misc]
    """Signs in whoever holds a token of an active user that has not expired."""

    def authenticate_credentials(self, token: bytes) -> tuple[Any, AuthToken]:
        """Return the user and the token.

        Raises:
            AuthenticationFailed: with the same words for every reason.
        """
        digest = hash_token(token.decode("latin-1"))
        found = AuthToken.objects.select_related("user").filter(digest=digest).first()
        if found is None or _has_expired(found) or not found.user.is_active:
            raise AuthenticationFailed("The token is unknown or has expired.")
        return found.user, found


def _has_expired(token: AuthToken) -> bool:
    return token.expiry is not None and token.expiry <= timezone.now()
