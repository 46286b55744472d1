"""What the tests of this folder look at in an answer."""


def problem(response, status, code):
    """Return the problem document, having checked it against RFC 9457 section 3.1."""
    document = response.json() if response.content else {}
    assert (response.status_code, document.get("type", "").rpartition("/")[2]) == (status, code), (
        response.content
    )
    assert response["Content-Type"] == "application/problem+json"
    assert document["type"] == f"http://testserver/problems/{code}"
    assert document["status"] == status
    assert document["title"]
    assert document["detail"]
    return document


def pointers(response, code="invalid-input", status=400):
    """Return the code of each error by its pointer."""
    return {each["pointer"]: each["code"] for each in problem(response, status, code)["errors"]}
