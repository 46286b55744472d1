"""A process that is killed while it makes a quote.

`python -m tests.billing.crash EXAMINATION` starts one process after another that makes the quote:
the first is killed once its first statement has run, the next after its second, and so on. The last
one comes to the end of the quote and exits without a commit. It prints how many were killed.
"""

import os
import signal
import sys
from itertools import count

import django
from django.db import connection, transaction

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
django.setup()

from billing.actions.quote_terms import QuoteTerms  # noqa: E402 (once Django is set up)
from billing.actions.quoting import quote_make  # noqa: E402
from diagnostics.models import Examination  # noqa: E402
from tests.factories.world import NOW, TODAY, main_shelf  # noqa: E402


class Killer:
    """Lets so many statements run, then kills this process."""

    def __init__(self, statements: int) -> None:
        self.left = statements

    def __call__(self, execute, *statement):
        result = execute(*statement)
        self.left -= 1
        if not self.left:
            os.kill(os.getpid(), signal.SIGKILL)
        return result


def quote(examination_id: int, statements: int) -> None:
    examination = Examination.objects.get(pk=examination_id)
    terms = QuoteTerms(from_place=main_shelf())
    made_by = examination.technician
    with transaction.atomic(), connection.execute_wrapper(Killer(statements)):
        quote_make(
            examination=examination, terms=terms, made_at=NOW, made_on=TODAY, made_by=made_by
        )
        os._exit(0)


def was_killed(examination_id: int, statements: int) -> bool:
    """Return whether a process that makes the quote was killed on the way to its end."""
    child = os.fork()
    if child == 0:
        quote(examination_id, statements)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return True
    if status:
        raise SystemExit("The quote failed by itself.")
    return False


if __name__ == "__main__":
    examination_id = int(sys.argv[1])
    killed = next(n for n in count(1) if not was_killed(examination_id, n)) - 1
    sys.stdout.write(str(killed))
