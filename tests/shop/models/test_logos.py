"""The rules of the logo's row, each broken by what slips past the program."""

import pytest

from shop.models import Logo
from tests.factories.shop import LogoFactory
from tests.refusals import refused

pytestmark = pytest.mark.django_db

MOST = b"\0" * 200_000


@pytest.mark.parametrize(
    ("rule", "columns"),
    [
        ("shop_logo_only_one", {"id": 2}),
        ("shop_logo_kind_known", {"media_type": "image/gif"}),
        ("shop_logo_small", {"content": b""}),
        ("shop_logo_small", {"content": MOST + b"\0"}),
        ("shop_logo_not_a_line", {"width": 0}),
        ("shop_logo_not_a_line", {"height": 0}),
    ],
)
def test_a_logo_that_is_none_is_refused(rule, columns):
    with refused(rule):
        LogoFactory(**columns)
    assert not Logo.objects.exists()
    assert bytes(LogoFactory(content=MOST).content) == MOST
