"""People of the shop, whom only the owner manages."""

from typing import TYPE_CHECKING, Any

from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.http import HttpRequest

from shop.models import Role, User

if TYPE_CHECKING:
    PeopleAdmin = UserAdmin[User]
else:
    PeopleAdmin = UserAdmin


@admin.register(User)
class PersonAdmin(PeopleAdmin):
    """People, their role, whether they may use these pages, and their password for it."""

    list_display = ("username", "first_name", "last_name", "role", "is_staff", "is_active")
    list_filter = ("role", "is_staff", "is_active")
    fieldsets = (
        (None, {"fields": ("username", "password")}),
        ("Person", {"fields": ("first_name", "last_name", "email")}),
        ("May do", {"fields": ("role", "is_staff", "is_active")}),
    )
    add_fieldsets = (
        (
            None,
            {
                "fields": (
                    "username",
                    "usable_password",
                    "password1",
                    "password2",
                    "role",
                    "is_staff",
                )
            },
        ),
    )

    def has_module_permission(self, request: HttpRequest) -> bool:
        """Return whether people are listed."""
        return self._is_owner(request)

    def has_view_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Return whether people are shown."""
        return self._is_owner(request)

    def has_add_permission(self, request: HttpRequest) -> bool:
        """Return whether people can be added."""
        return self._is_owner(request)

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Return whether a person can be changed: a superuser by another one alone."""
        may_change = not (obj and obj.is_superuser) or request.user.is_superuser
        return self._is_owner(request) and may_change

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Return that people stay, since what they did does; whoever leaves is made inactive."""
        return False

    def _is_owner(self, request: HttpRequest) -> bool:
        user = request.user
        return user.is_superuser or getattr(user, "role", "") == Role.OWNER
