"""Real minutes of a job beside those quoted."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from diagnostics.rules.estimate import Minutes


@dataclass(frozen=True)
class RemedyWork:
    """A remedy of a job: what was quoted, what agreed changes added, and what it took.

    `done_times` is how often it was recorded at the bench.
    """

    code: str
    name: str
    quoted: Minutes
    added: Minutes
    done_times: int
    real_minutes: Decimal

    @property
    def expected(self) -> Decimal:
        """The mean of the estimate, with what was added."""
        return (self.quoted + self.added).expected

    @property
    def difference(self) -> Decimal:
        """How many minutes more it took than expected."""
        return self.real_minutes - self.expected


def whole_job(works: Iterable[RemedyWork], set_up: Minutes) -> RemedyWork:
    """Return all remedies as one, with the set-up, which nobody records by itself."""
    rows = list(works)
    return RemedyWork(
        code="",
        name="",
        quoted=sum((row.quoted for row in rows), set_up),
        added=sum((row.added for row in rows), Minutes()),
        done_times=sum(row.done_times for row in rows),
        real_minutes=sum((row.real_minutes for row in rows), Decimal(0)),
    )
