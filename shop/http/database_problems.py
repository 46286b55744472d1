"""What the database refused, as a problem that a person can act on.

SQLSTATE codes: PostgreSQL documentation, appendix A "PostgreSQL Error Codes".
"""

import logging

from django.db import DatabaseError, DataError, IntegrityError, InterfaceError, OperationalError

from shop.errors import InvalidInput, Refused, ShopError
from shop.http.database_rules import database_rules, unique_columns
from shop.http.problems import RequestProblem

logger = logging.getLogger(__name__)

RETRY_AFTER_S = "1"
FOREIGN_KEY, RESTRICTED, UNIQUE = "23503", "23001", "23505"
LOCK_TIMEOUT = "55P03"
WORTH_RETRYING = frozenset({"40001", "40P01"})  # serialization failure, deadlock
BUSY = WORTH_RETRYING | {LOCK_TIMEOUT, "57014"}  # 57014: statement timeout
# Text too long, number and date out of range, text that the encoding lacks. The driver refuses NUL
# by itself, without a code.
OUT_OF_RANGE = frozenset({"", "22001", "22003", "22008", "22021", "22P05"})


def sqlstate_of(error: BaseException) -> str:
    """Return the five characters of the server's error code, "" when there are none."""
    return getattr(error.__cause__, "sqlstate", None) or ""


def database_problem(error: Exception, method: str = "") -> ShopError | None:
    """Return the problem that a database error means to whoever sent `method`, if it means one.

    None is a fault of the program: an error without a named rule.
    """
    if isinstance(error, OperationalError | InterfaceError):
        return _unavailable(error)
    if isinstance(error, DataError) and sqlstate_of(error) in OUT_OF_RANGE:
        return InvalidInput("invalid-input", "A value is too long or too large to be stored.")
    if isinstance(error, DatabaseError):
        return _broken_rule(error) or _broken_reference(error, method)
    return None


def _unavailable(error: OperationalError | InterfaceError) -> ShopError:
    headers = {"Retry-After": RETRY_AFTER_S}
    logger.warning("The database did not do its work: %s", sqlstate_of(error) or "no connection")
    if sqlstate_of(error) in BUSY:
        return RequestProblem(
            "database-busy", "Other work was in the way; send the request again.", (), headers
        )
    return RequestProblem(
        "database-unavailable",
        "The database cannot be reached; send the request again in a moment.",
        (),
        headers,
    )


def _broken_rule(error: DatabaseError) -> ShopError | None:
    """Return the refusal of the constraint or guard that PostgreSQL names, if we know it."""
    name = getattr(getattr(error.__cause__, "diag", None), "constraint_name", None) or ""
    rule = database_rules().get(name)
    if rule:
        return Refused(rule.code, rule.sentence)
    if sqlstate_of(error) == UNIQUE:
        sentence = unique_columns().get(name, "There is one like this already.")
        return Refused("already-exists", sentence)
    return None


def _broken_reference(error: DatabaseError, method: str) -> ShopError | None:
    if not isinstance(error, IntegrityError):
        return None
    state = sqlstate_of(error)
    if state == RESTRICTED or (state == FOREIGN_KEY and method == "DELETE"):
        return in_use()
    if state == FOREIGN_KEY:
        return Refused("reference-missing", "Something that this refers to does not exist.")
    return None


def in_use() -> Refused:
    """Return the refusal to remove what others still refer to."""
    return Refused("in-use", "Something else still refers to this; it cannot be removed.")
