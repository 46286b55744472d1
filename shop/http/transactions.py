"""One transaction around the work of a request, tried again when another was in its way."""

import random
import time
from collections.abc import Callable
from typing import TypeVar

from django.db import OperationalError, connection, transaction

from shop.http.database_problems import WORTH_RETRYING, sqlstate_of

Answer = TypeVar("Answer")

TRIES = 3
FIRST_PAUSE_S = 0.02


def in_transaction(work: Callable[[], Answer]) -> Answer:
    """Return what `work` returns, all of its changes stored, or none when it raises.

    A serialization failure or a deadlock is worth up to three tries, unless the caller has a
    transaction open, in which nothing would change. `work` must not leave the database.
    """
    tries_left = 1 if connection.in_atomic_block else TRIES
    pause_s = FIRST_PAUSE_S
    while True:
        tries_left -= 1
        try:
            with transaction.atomic():
                return work()
        except OperationalError as error:
            if sqlstate_of(error) not in WORTH_RETRYING or not tries_left:
                raise
        time.sleep(random.uniform(0, pause_s))  # noqa: S311 (jitter, not a secret)
        pause_s *= 2
