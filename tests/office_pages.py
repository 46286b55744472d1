"""Using the admin as the office does."""

from django.db import connection
from django.forms import MultiWidget
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories.shop import UserFactory


def sign_in(**user):
    """A browser in which someone of the office has signed in."""
    browser = Client()
    browser.force_login(UserFactory(**({"is_staff": True, "office": True} | user)))
    return browser


def list_address(model):
    return reverse(f"admin:{model._meta.app_label}_{model._meta.model_name}_changelist")


def page_address(row, page="change"):
    name = f"admin:{row._meta.app_label}_{row._meta.model_name}_{page}"
    return reverse(name, args=[row.pk])


def read(browser, address, **query):
    """The text of a page, which must be there."""
    answer = browser.get(address, query)
    assert answer.status_code == 200, f"{address}: {answer.status_code}"
    return answer.content.decode()


def statements(browser, address, **query):
    """How many statements a page takes, once Django knows the content types that it asks for."""
    read(browser, address, **query)
    with CaptureQueriesContext(connection) as captured:
        read(browser, address, **query)
    return len(captured)


def sent_back(browser, address, **changes):
    """What the form of a page sends when some of its fields were filled in otherwise."""
    context = browser.get(address).context
    forms = [context["adminform"].form]
    for inline in context["inline_admin_formsets"]:
        forms += [inline.formset.management_form, *inline.formset.forms]
    filled = [pair for form in forms for field in form for pair in _filled(field)]
    return {name: value for name, value in filled if value is not None} | changes


def _filled(field):
    widget, value = field.field.widget, field.value()
    if isinstance(widget, MultiWidget):
        names = [field.html_name + suffix for suffix in widget.widgets_names]
        return zip(names, widget.decompress(value), strict=True)
    return [(field.html_name, value)]
