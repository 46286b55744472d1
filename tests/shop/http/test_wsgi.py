import io

import pytest

from shop.wsgi import application


def status_of(content_type):
    answered = {}
    environ = {
        "REQUEST_METHOD": "POST",
        "PATH_INFO": "/api/v1/clients",
        "SERVER_NAME": "localhost",
        "SERVER_PORT": "80",
        "HTTP_HOST": "localhost",
        "CONTENT_TYPE": content_type,
        "CONTENT_LENGTH": "2",
        "wsgi.input": io.BytesIO(b"{}"),
        "wsgi.errors": io.StringIO(),
        "wsgi.url_scheme": "http",
    }
    body = b"".join(
        application(
            environ, lambda status, headers: answered.update(status=status, **dict(headers))
        )
    )
    assert answered["Content-Type"] == "application/problem+json", body
    return answered["status"]


@pytest.mark.parametrize(
    "content_type", ["application/json", "a/b; c*=no-such-charset''d", "a/b; c*=''", ";;;", "é"]
)
def test_a_content_type_that_is_nonsense_is_answered_like_any_other(content_type, settings):
    settings.ROOT_URLCONF = "shop.urls"
    assert status_of(content_type) == "401 Unauthorized"
