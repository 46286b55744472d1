"""Processes that issue drafts, some of which are killed at any moment and started anew.

`python -m tests.billing.issuing PROCESSES KILLS` starts them, kills one of them that often, and
waits until no draft is left. It prints how many were killed while they worked.
"""

import os
import random
import signal
import sys
import time
from datetime import date

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
django.setup()

from billing.actions.invoices import invoice_issue  # noqa: E402 (once Django is set up)
from billing.models import Invoice, InvoiceStatus  # noqa: E402
from shop.errors import Refused  # noqa: E402
from tests.factories.world import TODAY  # noqa: E402

# Killed so soon after it has started, a process is somewhere in its first documents.
LONGEST_LIFE_SECONDS = 0.12
AT_A_TIME = 5


def day_of(invoice_id: int) -> date:
    """Return the day on which a document is issued, so that each series has two years."""
    # By pairs, since every second document was corrected by the next.
    return TODAY.replace(year=TODAY.year + invoice_id // 2 % 2)


def issue_all(seed: int) -> None:
    """Issue drafts in any order until none is left, beside others who do the same."""
    chosen = random.Random(seed)
    drafts = Invoice.objects.filter(status=InvoiceStatus.DRAFT).only("pk")
    while left := list(drafts.all()):
        for invoice in chosen.sample(left, min(len(left), AT_A_TIME)):
            try:
                invoice_issue(invoice=invoice, issued_on=day_of(invoice.pk))
            except Refused as refusal:
                # Another process was faster.
                if refusal.code != "invoice-issued":
                    raise


def started(seed: int) -> int:
    """Return the process that issues, of which this one is the parent."""
    child = os.fork()
    if child:
        return child
    # Whatever happens, the copy of this process goes no further.
    status = 1
    try:
        issue_all(seed)
        status = 0
    finally:
        os._exit(status)


def was_killed(process: int) -> bool:
    """Wait for a process and return whether it was killed."""
    _, status = os.waitpid(process, 0)
    if not os.WIFSIGNALED(status) and status:
        raise SystemExit("A process failed by itself.")
    return os.WIFSIGNALED(status)


def work(processes: int, kills: int) -> int:
    """Return how many processes were killed before their work was done."""
    chosen, killed = random.Random(processes), 0
    running = [started(seed) for seed in range(processes)]
    for seed in range(processes, processes + kills):
        time.sleep(chosen.uniform(0, LONGEST_LIFE_SECONDS))
        place = chosen.randrange(processes)
        os.kill(running[place], signal.SIGKILL)
        killed += was_killed(running[place])
        running[place] = started(seed)
    return killed + sum(map(was_killed, running))


if __name__ == "__main__":
    sys.stdout.write(str(work(*map(int, sys.argv[1:]))))
