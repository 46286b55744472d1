"""A program that uses a database of its own, as a server process does: a request at a time.

`python program.py VAR_DIR` reads lines of JSON, `[statement, threads]`, from its input, and takes
each as that many requests at once; a line of JSON says what each of them got.
"""

import json
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import django
from django.conf import settings
from django.core.signals import request_finished, request_started
from django.db import Error, connection
from environ import Env

from shop.database.configuration import databases

THREADS = 6

settings.configure(DATABASES=databases(Env(), Path(sys.argv[1])), USE_TZ=True)
django.setup()


def answer(statement: str) -> str:
    request_started.send(sender=None, environ={})
    try:
        with connection.cursor() as cursor:
            cursor.execute(statement)
            return str(cursor.fetchone()[0])
    except Error as error:
        return f"{type(error).__name__}: {error}"
    finally:
        request_finished.send(sender=None)


with ThreadPoolExecutor(THREADS) as threads:
    for line in sys.stdin:
        statement, number = json.loads(line)
        answers = list(threads.map(answer, [statement] * number))
        sys.stdout.write(json.dumps(answers) + "\n")
        sys.stdout.flush()
