"""The WSGI entry point: `shop.wsgi:application`."""

import os
from typing import Any

from django.core.handlers.wsgi import WSGIHandler, WSGIRequest
from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")


class TolerantRequest(WSGIRequest):
    """A request whose Content-Type may be nonsense: it then has none, and the API answers 415."""

    def _set_content_type_params(self, meta: dict[str, Any]) -> None:
        # Django raises here, before any of its own handlers of errors can answer.
        try:
            super()._set_content_type_params(meta)  # type: ignore[misc]
        except (LookupError, ValueError):
            self.content_type, self.content_params = "", {}


application: WSGIHandler = get_wsgi_application()
application.request_class = TolerantRequest
