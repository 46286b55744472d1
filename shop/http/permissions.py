"""Who may do what: nothing that a view does not grant to the caller's role.

What a role may see of the rows is decided in the queries; a row out of sight is a 404.
"""

from collections.abc import Mapping, Set
from types import MappingProxyType
from typing import Any

from rest_framework.permissions import SAFE_METHODS, BasePermission
from rest_framework.request import Request

from shop.models import Role, User

Roles = Mapping[str, Set[str]]

EVERYONE = frozenset(Role)
OFFICE = frozenset({Role.OFFICE, Role.OWNER})
OWNER = frozenset({Role.OWNER})


def grants(**roles: Set[str]) -> Roles:
    """Return who may do what: of a view's method (`create`, `approve`), else of `read` or `write`.

    >>> roles = grants(read=EVERYONE, write=OFFICE, destroy=OWNER)
    """
    return MappingProxyType(roles)


class RoleGranted(BasePermission):
    """Grants what the view's `roles` give to the caller's role, and nothing else.

    `roles` is made by `grants`.
    """

    def has_permission(self, request: Request, view: Any) -> bool:
        """Return whether the caller may go on; anyone signed in may ask for OPTIONS."""
        user = request.user
        if not isinstance(user, User):
            return False
        if request.method == "OPTIONS" or view.action is None:  # the latter is answered with 405
            return True
        return user.role in granted(view, request.method or "")


def granted(view: Any, method: str) -> Set[str]:
    """Return the roles that may send `method` to `view`'s present action."""
    kind = "read" if method in SAFE_METHODS else "write"
    roles: Roles = view.roles
    return roles.get(view.action, roles.get(kind, frozenset()))
