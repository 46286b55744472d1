"""What measurements share: databases of their own, time, and word of how far they are."""

import os
import sys
from collections.abc import Callable
from time import perf_counter
from typing import Any

import django


def timed_ms(work: Callable[..., Any], *given: Any) -> float:
    start = perf_counter()
    work(*given)
    return (perf_counter() - start) * 1000


def tell(progress: str) -> None:
    print(progress, file=sys.stderr, flush=True)


def in_databases_of_their_own(*measures: Callable[[Any], None]) -> int:
    """Measure each in an empty database, which is dropped afterwards, and return 0.

    A measure is given the databases; `databases.shared` is a second one, empty until it is used.
    """
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    django.setup()
    from django.db import connections
    from django.test.utils import setup_test_environment

    from tests.databases import Databases, use

    setup_test_environment()
    with connections["owner"]._nodb_cursor() as cursor:
        databases = Databases(cursor)
        tell(f"Making the database {databases.shared} ...")
        try:
            databases.migrate()
            for measure in measures:
                databases.clone(databases.committed)
                use(databases.committed)
                measure(databases)
        finally:
            use(databases.shared)
            databases.drop(databases.committed)
            databases.remove()
    return 0
