"""The program, served by threads of this process on a free port of the loopback address."""

from collections.abc import Iterator
from contextlib import contextmanager
from socketserver import ThreadingMixIn
from threading import Thread
from wsgiref.simple_server import WSGIRequestHandler, WSGIServer, make_server

from django.db import connections

from shop.wsgi import application


class ThreadingServer(ThreadingMixIn, WSGIServer):
    """A browser opens connections ahead, which would keep a server of one thread waiting."""

    daemon_threads = True

    def process_request_thread(self, *request):
        """Answer, and leave no connection to the database behind in a thread that ends."""
        super().process_request_thread(*request)
        connections.close_all()


class QuietHandler(WSGIRequestHandler):
    def log_message(self, *_):
        """Say nothing of each request."""


@contextmanager
def serving() -> Iterator[str]:
    """Serve, and yield the address."""
    options = {"server_class": ThreadingServer, "handler_class": QuietHandler}
    with make_server("127.0.0.1", 0, application, **options) as server:
        thread = Thread(target=server.serve_forever, args=(0.05,))
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()
        thread.join()
