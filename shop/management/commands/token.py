"""Give a person of the shop a new token."""

from argparse import ArgumentParser
from datetime import timedelta
from typing import Any

from django.core.management.base import CommandError

from shop.actions.users import token_issue
from shop.management.tables import TablesCommand
from shop.models import User


class Command(TablesCommand):
    """Issue a token and show it, once."""

    help = "Issue a new token to a person, for one who has lost theirs. It is shown once."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare whose token, and how long it lasts."""
        parser.add_argument("username", help="whose token, such as owner")
        parser.add_argument(
            "--days", type=int, default=90, help="how long it lasts (default %(default)s)"
        )

    def handle(self, *args: Any, username: str, days: int, **options: Any) -> None:  # noqa: ARG002
        """Issue it.

        Raises:
            CommandError: there is nobody of that name who may sign in.
        """
        user = User.objects.filter(username=username, is_active=True).first()
        if user is None:
            known = ", ".join(User.objects.values_list("username", flat=True)) or "nobody yet"
            raise CommandError(f"There is no {username} who may sign in; there is {known}.")
        if days < 1:
            raise CommandError("A token lasts at least one day.")
        token = token_issue(user=user, lasts=timedelta(days=days))
        self.stdout.write(f"Authorization: Bearer {token}")
