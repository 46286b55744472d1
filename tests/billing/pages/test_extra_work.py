"""Extra work as the client sees it who agreed to the quote."""

from django.test import Client

from tests.billing.api.test_changes import changed, tolerance
from tests.billing.client_pages import YES, offered, read, send
from tests.documents import read as document
from tests.documents import squeezed, text_of
from tests.factories.diagnostics import RemedyFactory


def test_extra_work_that_was_agreed_stands_on_the_page_and_on_the_paper(technician, workshop):
    times = {"minutes_low": 6, "minutes_likely": 6, "minutes_high": 6}
    easing = {"code": "ease", "name": "Ease the key", "charged_per": "note"}
    RemedyFactory(set_up=workshop.repin.set_up, actions=["upright"], **easing, **times)
    quote, address = offered(technician, workshop)
    send(address, YES)
    job = {"id": quote.pk}
    # By hand: 6 minutes a note at 60.00 are 6.00, and 12 % of 58.00 is 6.96.
    tolerance(12)
    changed(technician, job, remedy="ease", notes="A0", reason="It <rubs>.")
    agreed, refused, _ = (
        changed(technician, job, remedy="ease", notes=notes) for notes in ("B0-C1", "D1", "E1")
    )
    path = "/quote-changes/{}/{}".format
    technician.post(path(agreed["id"], "approve"), {"approved_by": "Agnes Wick"})
    technician.post(path(refused["id"], "decline"), {"declined_by": "Agnes Wick"})

    page = squeezed(read(address))

    assert "<h3>Extra work 1</h3> <p>A0: It &lt;rubs&gt;.</p>" in page
    assert "as far as local consumer law allows: €6.00 more." in page
    assert "<h3>Extra work 2</h3>" in page
    assert "B0, C1: The dampers stick too." in page
    assert "0.2 h × 60.00, Notes: 2" in page
    assert "Agreed by Agnes Wick on " in page
    assert "Extra work 3" not in page
    # 58.00, 6.00 and 12.00.
    assert 'With the extra work</th><td class="n">€76.00' in page
    text = squeezed(text_of(document(Client().get(f"{address}/pdf"))))
    for words in (
        "Total €58.00 With the extra work €76.00",
        "Extra work 1 A0: It <rubs>.",
        ": €12.00 more.",
        "Ease the key Notes: 2 0.2 h 60.00 12.00",
    ):
        assert words in text, words
    assert "Extra work 3" not in text
