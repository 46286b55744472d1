"""What stands under a noun: verbs, which change its state, and reports, which are read."""

from collections.abc import Callable
from typing import Any, TypeVar

from rest_framework.decorators import action

from shop.http.csv_parsers import StrictCSVParser
from shop.http.files import FileRenderer
from shop.http.parsers import StrictJSONParser
from shop.http.pictures import PictureQuery, SVGRenderer, TextRenderer
from shop.http.renderers import CSVRenderer, PlainJSONRenderer
from shop.http.views import Serializer

Method = TypeVar("Method", bound=Callable[..., Any])


def verb(
    *,
    takes: Serializer | None = None,
    gives: Serializer | None = None,
    gives_status: int = 200,
    takes_list: bool = False,
    takes_csv: bool = False,
    of_one: bool = True,
    path: str | None = None,
    **options: Any,
) -> Callable[[Method], Any]:
    """Return a decorator that makes a method answer POST <noun>/{id}/<name-of-the-method>.

    `takes` and `gives` are the serializers of body and answer (the view's `output` when not
    given). `takes_list` lets a list be sent, `takes_csv` also a sheet of them. A verb that is not
    `of_one` row stands under the noun itself. `options` are attributes of the view for this verb.
    """
    if takes_csv:
        options["parser_classes"] = [StrictJSONParser, StrictCSVParser]
    options |= {"takes": takes, "gives": gives, "gives_status": gives_status}
    options |= {"takes_list": takes_list or takes_csv, "gives_list": False}
    return _under_noun("post", path, options, of_one=of_one)


def report(
    *,
    gives: Serializer,
    gives_list: bool = False,
    gives_csv: bool = False,
    gives_text: bool = False,
    query: Serializer | None = None,
    of_one: bool = False,
    path: str | None = None,
    **options: Any,
) -> Callable[[Method], Any]:
    """Return a decorator that makes a method answer GET <noun>/<name-of-the-method>.

    `gives` is the serializer of the answer, or of each row of the page when it `gives_list` (then
    `filterset_class` and `model` say by what it is filtered); `gives_csv` offers it as a sheet
    too, `gives_text` as text, which the method writes when `wants_text`. `query` is the serializer
    of its parameters. One `of_one` row stands under its id.
    """
    if gives_csv:
        options["renderer_classes"] = [PlainJSONRenderer, CSVRenderer]
    if gives_text:
        options["renderer_classes"] = [PlainJSONRenderer, TextRenderer]
    options = {"filterset_class": None, **options, "gives": gives, "query": query}
    options |= {"gives_list": gives_list, "takes": None}
    return _under_noun("get", path, options, of_one=of_one)


def picture(
    *, path: str | None = None, query: type[PictureQuery] = PictureQuery, example: str = ""
) -> Callable[[Method], Any]:
    """Return a decorator that makes a method of a `Drawn` view answer GET <noun>/{id}/<name>.

    The answer is a picture, or text for a terminal when the caller prefers that; `example` is such
    a text. `query` adds parameters of its own to those of text.
    """
    options: dict[str, Any] = {
        "draws": True,
        "example": example or None,
        "query": query,
        "filterset_class": None,
    }
    options |= {"renderer_classes": [SVGRenderer, TextRenderer]}
    options |= {"takes": None, "gives": None, "gives_list": False}
    return _under_noun("get", path, options, of_one=True)


def file(
    renderer: type[FileRenderer],
    *,
    query: Serializer | None = None,
    of_one: bool = True,
    path: str | None = None,
) -> Callable[[Method], Any]:
    """Return a decorator that makes a method answer GET <noun>/{id}/<name> with a file.

    `query` is the serializer of its parameters. One not `of_one` row stands under the noun itself.
    """
    options: dict[str, Any] = {"renderer_classes": [renderer], "is_file": True, "query": query}
    options |= {"filterset_class": None, "takes": None, "gives": None, "gives_list": False}
    return _under_noun("get", path, options, of_one=of_one)


def _under_noun(
    method: str, path: str | None, options: dict[str, Any], *, of_one: bool
) -> Callable[[Method], Any]:
    def decorated(function: Method) -> Any:
        name = path or function.__name__.replace("_", "-")
        route = action(
            methods=[method],  # type: ignore[list-item]
            detail=of_one,
            url_path=name,
            url_name=function.__name__.replace("_", "-"),
            **options,
        )
        return route(function)

    return decorated
