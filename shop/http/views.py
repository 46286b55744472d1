"""The base of every view of the API, so that a method parses, calls one action and renders.

    class ClientViewSet(Listed, Retrieved, Created, Changed, Deleted, ShopViewSet):
        \"\"\"Those whom the shop works for.\"\"\"

        model = Client
        roles = grants(read=EVERYONE, write=OFFICE)
        filterset_class = ClientFilter
        create_input, change_input, output = ClientCreateInput, ClientChangeInput, ClientOutput

        def rows(self) -> QuerySet[Client]:
            return clients_visible(self.user)

        def add(self, values: Values) -> Client:
            return client_create(**values)

        ...

        @verb(takes=ClientMergeInput)
        def merge(self) -> Response:
            merged = client_merge(client=self.found(), **self.checked())
            return self.shown(merged)

A method takes no arguments: there is `self.request`, and `self.kwargs` from the path. What it
returns or raises, `dispatch` turns into an answer; the work of an unsafe method is
one transaction, with the errors of its commit, and its Idempotency-Key.
"""

from collections.abc import Sequence
from typing import Any, cast

from django.db.models import Model, QuerySet
from django.http import HttpRequest, HttpResponse
from django.utils.cache import patch_vary_headers
from rest_framework.exceptions import ValidationError
from rest_framework.generics import get_object_or_404
from rest_framework.permissions import SAFE_METHODS
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.serializers import Serializer as SerializerClass
from rest_framework.viewsets import GenericViewSet

from shop.errors import FieldError, InvalidInput
from shop.http.conditional import entity_tag, refuse_unless_matched, unless_known
from shop.http.csv_parsers import MAX_ROWS
from shop.http.field_errors import field_errors, parameter_errors, pointer_to
from shop.http.filters import invalid_query, refuse_wrong_parameters
from shop.http.idempotency import answer_once, keyed
from shop.http.negotiation import QualityNegotiation
from shop.http.permissions import Roles, grants
from shop.http.requests import BoundedRequest
from shop.http.serializers import NoInput
from shop.http.transactions import in_transaction
from shop.models import User

Serializer = type[SerializerClass[Any]]
Values = dict[str, Any]
# Where in the body a row stands, and its values.
Row = tuple[str, Values]

BODY_LIMIT_BYTES = 1024 * 1024


class ShopViewSet(GenericViewSet[Any]):
    """Base of the views.

    A subclass, or one of its verbs, says of itself:

    `model` is the table of its rows, `roles` who may do what, `output` the serializer of a row.
    `takes` and `gives` are the serializers of the present verb or report, `query` that of its
    parameters; `takes_list` lets a list (or a sheet) be sent, `gives_list` pages what it answers.
    An answer that holds a secret is not kept to be given again: `keeps_answer` is false. What is
    one of its kind and `may_be_absent` is answered with 404 then. What `draws` answers with a
    picture (see `shop.http.pictures`), what `is_file` with a file. `example` is an answer for the
    description of the API, `sheet_example` a body in CSV.
    """

    model: type[Model]
    roles: Roles = grants()
    output: Serializer | None = None
    create_input: Serializer | None = None
    change_input: Serializer | None = None
    takes: Serializer | None = None
    gives: Serializer | None = None
    query: Serializer | None = None
    takes_list = False
    gives_list = False
    gives_status = 200
    keeps_answer = True
    may_be_absent = False
    draws = False
    is_file = False
    example: Any = None
    sheet_example: str | None = None
    body_limit_bytes = BODY_LIMIT_BYTES

    content_negotiation_class = QualityNegotiation
    lookup_value_regex = "[1-9][0-9]{0,18}"
    filterset_class: Any = None

    # What the methods of a subclass use.

    @property
    def user(self) -> User:
        """The person who sent the request."""
        return cast("User", self.request.user)

    def rows(self) -> QuerySet[Any]:
        """Return the rows that the caller may see."""
        raise NotImplementedError

    def found(self) -> Any:
        """Return the row that the path names, as the caller may see it; else the answer is 404."""
        return get_object_or_404(self.rows(), pk=self.kwargs["pk"])

    def found_and_locked(self) -> Any:
        """Return the row that the path names, kept from changing until the transaction ends."""
        locked = self.model._default_manager.select_for_update(no_key=True)
        locked.filter(pk=self.kwargs["pk"]).values_list("pk").first()
        return self.found()

    def refuse_unless_matched(self, row: Any) -> None:
        """Go on only when If-Match has the tag of `row`, which is locked; else 428 or 412."""
        refuse_unless_matched(self.request, entity_tag(self.representation(row)))

    def checked(self) -> Values:
        """Return the values of the body, or of a PATCH those that it has; else 400."""
        is_partial = self.request.method == "PATCH"
        values: Values = self._validated(data=self.request.data, partial=is_partial)
        return values

    def checked_rows(self) -> tuple[list[Row], list[FieldError]]:
        """Return the rows of the body that have the right shape, and the errors of the others.

        The body is a list, a sheet, or one object. Both are returned, so that an action can name
        every wrong row at once.

        Raises:
            InvalidInput: there are no rows, or too many.
        """
        body = self.request.data
        sent = body if isinstance(body, list) else [body]
        if not 1 <= len(sent) <= MAX_ROWS:
            detail = f"Send 1 to {MAX_ROWS} rows; these are {len(sent)}."
            raise InvalidInput("invalid-input", detail, (FieldError("", "row-count", detail),))
        serializer = self.input_class()(context=self.get_serializer_context())
        rows: list[Row] = []
        errors: list[FieldError] = []
        for index, values in enumerate(sent):
            pointer = pointer_to(index)
            try:
                rows.append((pointer, serializer.run_validation(values)))
            except ValidationError as error:
                errors += field_errors(error.detail, pointer)
        return rows, errors

    def checked_query(self) -> Values:
        """Return the values of the parameters by the `query` serializer; else 400."""
        query, sent = self.query or NoInput, self.request.query_params.items()
        data = {name: value for name, value in sent if name in query().fields}
        serializer = query(data=data, context=self.get_serializer_context())
        if not serializer.is_valid():
            raise invalid_query(parameter_errors(serializer.errors))
        return cast("Values", serializer.validated_data)

    def shown(self, row: Any, status: int | None = None) -> Response:
        """Return an answer that shows `row`, with its entity tag."""
        data = self.representation(row)
        headers = {"ETag": entity_tag(data)}
        return Response(data, status or self.gives_status, headers=headers)

    def created(self, row: Any, location: str | None = None) -> Response:
        """Return 201 for a new row, with where it is now: under this view, or at `location`."""
        response = self.shown(row, 201)
        path = {**self.kwargs, "pk": row.pk}
        response["Location"] = location or self.reverse_action("detail", kwargs=path)
        return response

    def listed(self, rows: QuerySet[Any, Any]) -> Response:
        """Return the page of `rows` that the query asks for."""
        page = self.paginate_queryset(self.filter_queryset(rows))
        return self.get_paginated_response(self.represented(page))

    def represented(self, rows: Any) -> Any:
        """Return `rows` as the answer shows each of them."""
        return self.output_class()(rows, many=True, context=self.get_serializer_context()).data

    def representation(self, row: Any) -> Any:
        """Return `row` as the answer shows it."""
        return self.output_class()(row, context=self.get_serializer_context()).data

    # What the machinery around the methods uses.

    def input_class(self) -> Any:
        """Return the serializer of the present action's body."""
        generic = {"create": self.create_input, "partial_update": self.change_input}
        return generic.get(self.action, self.takes) or NoInput

    def output_class(self) -> Any:
        """Return the serializer of the present action's answer."""
        return self.gives or self.output

    def output_fields(self) -> Sequence[str]:
        """Return the names of the fields of the present action's answer, in their order."""
        return list(self.output_class()().fields)

    def get_queryset(self) -> QuerySet[Any]:
        """Return the rows that the caller may see; for a description of the API, none."""
        if getattr(self, "swagger_fake_view", False):
            return self.model._default_manager.none()
        return self.rows()

    def shared_parameters(self) -> list[str]:
        """Return the parameters that the present action takes besides those of its filter."""
        paging = getattr(self.paginator, "parameters", ()) if self.pages else ()
        formats = ("format",) if len(self.renderer_classes) > 1 else ()
        return [*(self.query().fields if self.query else ()), *paging, *formats]

    @property
    def pages(self) -> bool:
        """Whether the present action answers with a page of rows."""
        return self.gives_list or self.action == "list"

    def initialize_request(self, request: HttpRequest, *_: Any, **__: Any) -> Request:
        """Return the request as REST framework's, with the bound of this view on its body."""
        self.action = self.action_map.get((request.method or "").lower())  # type: ignore[assignment]
        return BoundedRequest(
            request,
            body_limit_bytes=self.body_limit_bytes,
            parsers=self.get_parsers(),
            authenticators=self.get_authenticators(),
            negotiator=self.get_content_negotiator(),
            parser_context=self.get_parser_context(request),
        )

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        """Refuse what needs no look at the rows: media type, person, role, parameters."""
        super().initial(request, *args, **kwargs)
        if self.action and not self.pages:
            known = dict.fromkeys(self.shared_parameters(), False)
            refuse_wrong_parameters(request.query_params, known=known)

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        """Answer a request: REST framework's dispatch, with the work in one transaction."""
        self.args, self.kwargs = args, kwargs
        self.request = self.initialize_request(request, *args, **kwargs)
        self.headers = self.default_response_headers
        try:
            self.initial(self.request, *args, **kwargs)
            response = self._answer()
        except Exception as error:  # noqa: BLE001 (what is no problem of the caller's is raised again)
            response = self.handle_exception(error)
        self.response = self.finalize_response(self.request, response, *args, **kwargs)
        return self.response

    def finalize_response(self, request: Request, response: Any, *args: Any, **kwargs: Any) -> Any:
        """Return `response` with the headers that every answer has."""
        answer = super().finalize_response(request, response, *args, **kwargs)
        patch_vary_headers(answer, ["Accept", "Authorization"])
        answer["Cache-Control"] = "no-store"
        return answer

    def options(self, *_: Any, **__: Any) -> Response:
        """Return no content; the header Allow says what this address takes."""
        return Response(status=204)

    def _answer(self) -> HttpResponse:
        method = str(self.request.method)
        known = self.action_map | {"options": "options"}
        if method.lower() not in known:
            self.http_method_not_allowed(self.request)
        if method in SAFE_METHODS:
            return unless_known(self.request, self._rendered())
        request = keyed(self.request) if self.keeps_answer else None
        if request is None:
            return in_transaction(self._rendered)
        return answer_once(request, self._rendered, self.handle_exception)

    def _rendered(self) -> HttpResponse:
        """Return the answer of the present method, written out while its transaction is open."""
        if self.request.method == "POST" and self.input_class() is NoInput:
            self.checked()
        response = getattr(self, str(self.request.method).lower())()
        self.finalize_response(self.request, response)
        written: HttpResponse = response.render() if isinstance(response, Response) else response
        return written

    def _validated(self, **options: Any) -> Any:
        context = self.get_serializer_context()
        serializer = self.input_class()(context=context, **options)
        serializer.is_valid(raise_exception=True)
        return serializer.validated_data
