"""The people of the shop, and the tokens they sign in with."""

from datetime import timedelta
from typing import Any

import django_filters
from django.db.models import QuerySet
from rest_framework import serializers
from rest_framework.response import Response

from shop.actions.users import token_issue, tokens_revoke, user_change, user_create
from shop.http.filters import Order, TrueFalseFilter
from shop.http.permissions import OFFICE, OWNER, grants
from shop.http.records import Changed, Created, Listed, Retrieved
from shop.http.serializers import RowSerializer, StrictSerializer
from shop.http.verbs import verb
from shop.http.views import Values
from shop.models import Role, User
from shop.queries.people import users

USERNAME = r"^[\w.@+-]+$"
LONGEST_DAYS = 365


class UserCreateInput(StrictSerializer):
    """A new person, by the name they sign in with, and what they do in the shop."""

    username = serializers.RegexField(USERNAME, max_length=150)
    role = serializers.ChoiceField(choices=Role.choices)


class UserChangeInput(StrictSerializer):
    """What a person does in the shop, and whether they may sign in."""

    role = serializers.ChoiceField(choices=Role.choices)
    is_active = serializers.BooleanField()


class UserOutput(RowSerializer):
    """A person."""

    class Meta:
        model = User
        fields = ("id", "username", "first_name", "last_name", "role", "is_active")


class TokenInput(StrictSerializer):
    """For how many days a token is good."""

    lasts_days = serializers.IntegerField(min_value=1, max_value=LONGEST_DAYS)


class TokenOutput(serializers.Serializer[Any]):
    """A token in clear; it is not kept so, and cannot be shown again."""

    token = serializers.CharField()


class TokensRevokedOutput(serializers.Serializer[Any]):
    """How many tokens a person had."""

    revoked_count = serializers.IntegerField()


class UserFilter(django_filters.FilterSet):  # type: ignore[misc]
    """By role, and whether they may sign in."""

    role = django_filters.ChoiceFilter(choices=Role.choices)
    is_active = TrueFalseFilter()
    order = Order(fields=["username", "id"])

    class Meta:
        model = User
        fields = ()


class UserViewSet(Listed, Retrieved, Created, Changed):
    """The people of the shop. Whoever leaves is made inactive: what they did stays."""

    model = User
    roles = grants(read=OFFICE, write=OWNER)
    filterset_class = UserFilter
    create_input = UserCreateInput
    change_input = UserChangeInput
    output = UserOutput

    def rows(self) -> QuerySet[User]:
        """Return the people."""
        return users()

    def add(self, values: Values) -> User:
        """Add a person, who signs in by token."""
        return user_create(**values)

    def change(self, row: User, values: Values) -> User:
        """Change what a person may do."""
        return user_change(user=row, changes=values)

    @verb(takes=TokenInput, gives=TokenOutput, gives_status=201, keeps_answer=False)
    def token(self) -> Response:
        """Make a token and show it, this once. An Idempotency-Key has no effect here."""
        user = self.found()
        lasts = timedelta(days=self.checked()["lasts_days"])
        return Response({"token": token_issue(user=user, lasts=lasts)}, 201)

    @verb(gives=TokensRevokedOutput)
    def revoke_tokens(self) -> Response:
        """End every token of a person at once."""
        return Response({"revoked_count": tokens_revoke(user=self.found())})
