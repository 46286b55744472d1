import pytest
from django.utils.html import escape

from shop.http.problems import problem_kinds


def test_each_kind_of_problem_has_a_page_that_explains_it(nobody):
    for code, kind in problem_kinds().items():
        page = nobody("GET", f"http://testserver/problems/{code}")
        assert page.status_code == 200, code
        assert f"<h1>{escape(kind.title)}</h1>" in page.content.decode()


def test_the_list_links_to_every_page(nobody):
    page = nobody("GET", "http://testserver/problems/").content.decode()

    assert all(f'href="/problems/{code}"' in page for code in problem_kinds())


def test_an_unknown_kind_has_no_page(nobody):
    assert nobody("GET", "http://testserver/problems/no-such-kind").status_code == 404


@pytest.mark.parametrize("path", ["", "not-found"])
def test_pages_take_nothing_from_outside(nobody, path):
    page = nobody("GET", f"http://testserver/problems/{path}")

    assert "default-src 'none'" in page["Content-Security-Policy"]
    assert "src=" not in page.content.decode()
    assert "http://" not in page.content.decode()
    assert "https://" not in page.content.decode()


def test_pages_are_only_read(nobody):
    assert nobody("POST", "http://testserver/problems/").status_code == 405
