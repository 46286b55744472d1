"""The header Idempotency-Key: the same request again gets the first answer again.

Source: IETF draft-ietf-httpapi-idempotency-key-header. The key is stored in the transaction of the
request's effect, so that neither is ever there without the other.
"""

import hashlib
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.conf import settings
from django.db import OperationalError, connection
from django.db.models import QuerySet
from django.http import HttpResponse
from django.utils import timezone
from rest_framework.request import Request

from shop.http.database_problems import LOCK_TIMEOUT, sqlstate_of
from shop.http.problems import RequestProblem
from shop.http.transactions import in_transaction
from shop.models.answers import FirstAnswer

HEADER = "Idempotency-Key"
PATIENCE_MS = 200
KEPT_HEADERS = ("Content-Type", "ETag", "Location")
# Neither who may do what, nor how much, nor a fault of ours is settled for good.
NEVER_KEPT = frozenset({401, 403, 429})
VISIBLE = re.compile(r"[\x21-\x7e]{1,255}")
QUOTED = re.compile(r'"((?:[\x20\x21\x23-\x5b\x5d-\x7e]|\\["\\])*)"')  # RFC 8941 section 3.3.3


class KeyRefused(RequestProblem):
    """The key itself was used wrongly; nothing is stored about that."""


@dataclass(frozen=True)
class KeyedRequest:
    """A request under its key: who sent it, where to, and the SHA-256 of what."""

    user_id: int
    method: str
    path: str
    key: str
    digest: str


def keyed(request: Request) -> KeyedRequest | None:
    """Return the request under its key, None when it has none.

    Raises:
        RequestProblem: the key is not 1 to 255 visible characters.
    """
    header = request.headers.get(HEADER)
    if request.method != "POST" or header is None or request.user is None or not request.user.pk:
        return None
    query = request.META.get("QUERY_STRING", "")
    sent = [request.content_type.encode(), query.encode(), request.body]
    digest = hashlib.sha256(b"\0".join(sent)).hexdigest()
    path = request.path.rstrip("/")
    return KeyedRequest(request.user.pk, request.method, path, _key(header), digest)


def answer_once(
    request: KeyedRequest,
    work: Callable[[], HttpResponse],
    refusal: Callable[[Exception], HttpResponse],
) -> HttpResponse:
    """Return the first answer to `request`: that of `work`, or the one given before.

    `work` returns a rendered answer. `refusal` makes one of what `work` raises, or raises it again;
    it is stored by itself, since what `work` did is undone by then.
    """
    try:
        return in_transaction(lambda: _first(request, work))
    except KeyRefused:
        raise
    except Exception as error:  # noqa: BLE001 (refusal raises again what is not the caller's)
        answer = refusal(error)
    if answer.status_code in NEVER_KEPT or answer.status_code >= 500:
        return answer
    return in_transaction(lambda: _first(request, lambda: answer))


def answers_forget(*, before: datetime) -> int:
    """Forget the answers given before an instant and return how many there were."""
    return FirstAnswer.objects.filter(created_at__lt=before).delete()[0]


def kept_since(now: datetime) -> datetime:
    """Return the instant from which answers are kept; an older key may be forgotten."""
    return now - timedelta(hours=settings.IDEMPOTENCY_HOURS)


def _first(request: KeyedRequest, work: Callable[[], HttpResponse]) -> HttpResponse:
    if not _claim(request):
        return _given_before(request)
    answer = work()
    headers = {name: answer[name] for name in KEPT_HEADERS if name in answer}
    _rows(request).update(status=answer.status_code, headers=headers, body=answer.content)
    return answer


def _claim(request: KeyedRequest) -> bool:
    """Store the key without an answer and return whether it was new.

    A request that is still being worked on holds its key's row: this waits for it a little.
    """
    with connection.cursor() as cursor:
        cursor.execute(f"SET LOCAL lock_timeout = {PATIENCE_MS}")
        try:
            cursor.execute(
                """
                INSERT INTO shop_firstanswer
                    (user_id, method, path, key, request_digest, headers, body, created_at)
                VALUES (%s, %s, %s, %s, %s, '{}', '', %s)
                ON CONFLICT (user_id, method, path, key) DO NOTHING
                """,
                [
                    request.user_id,
                    request.method,
                    request.path,
                    request.key,
                    request.digest,
                    timezone.now(),
                ],
            )
            is_new = bool(cursor.rowcount)
        except OperationalError as error:
            if sqlstate_of(error) == LOCK_TIMEOUT:
                raise _in_use() from error
            raise
        cursor.execute("SET LOCAL lock_timeout TO DEFAULT")
    return is_new


def _given_before(request: KeyedRequest) -> HttpResponse:
    earlier = _rows(request).first()
    if earlier is None or earlier.status is None:  # forgotten at this very moment
        raise _in_use()
    if earlier.request_digest != request.digest:
        raise KeyRefused(
            "idempotency-key-reused",
            "This Idempotency-Key was sent before with another body, query or Content-Type.",
        )
    return HttpResponse(bytes(earlier.body), status=earlier.status, headers=earlier.headers)


def _rows(request: KeyedRequest) -> QuerySet[FirstAnswer]:
    return FirstAnswer.objects.filter(
        user_id=request.user_id, method=request.method, path=request.path, key=request.key
    )


def _in_use() -> KeyRefused:
    return KeyRefused(
        "idempotency-key-in-use",
        "The first request with this Idempotency-Key is still being worked on.",
        (),
        {"Retry-After": "1"},
    )


def _key(header: str) -> str:
    quoted = QUOTED.fullmatch(header)
    key = re.sub(r"\\(.)", r"\1", quoted[1]) if quoted else header
    if not VISIBLE.fullmatch(key) or (header.startswith('"') and not quoted):
        raise RequestProblem(
            "invalid-idempotency-key", "An Idempotency-Key is 1 to 255 visible ASCII characters."
        )
    return key
