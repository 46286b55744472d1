"""What all of the office's pages share: who may use them, and what they say when refused."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, ClassVar

from django import forms
from django.contrib import admin, messages
from django.contrib.postgres.fields import ArrayField
from django.core.exceptions import ValidationError
from django.db import IntegrityError, models
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from shop.http.database_problems import database_problem

if TYPE_CHECKING:
    ModelAdmin = admin.ModelAdmin[Any]
    TabularInline = admin.TabularInline[Any, Any]
    ModelForm = forms.ModelForm[Any]
else:
    ModelAdmin = admin.ModelAdmin
    TabularInline = admin.TabularInline
    ModelForm = forms.ModelForm


class OpenToStaff:
    """Opens a table to everyone whom the owner lets into the admin, by `is_staff`."""

    def has_module_permission(self, request: HttpRequest) -> bool:
        """Return whether the table is listed."""
        return request.user.is_staff

    def has_view_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Return whether rows are shown."""
        return request.user.is_staff

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Return whether rows can be added."""
        return request.user.is_staff

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Return whether rows can be changed."""
        return request.user.is_staff

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Return whether rows can be deleted."""
        return request.user.is_staff


class OnlyShown(OpenToStaff):
    """Shows a table, which has other ways to be written, and lets nobody change it here."""

    def has_add_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Return that nothing can be added."""
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Return that nothing can be changed."""
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:  # noqa: ARG002
        """Return that nothing can be deleted."""
        return False


class RefusedForm(ModelForm):
    """A form that the database has refused once, for the reason `refusal`."""

    refusal = ""

    def clean(self) -> dict[str, Any]:
        """Say why the values cannot be stored."""
        super().clean()
        raise ValidationError(self.refusal)


class OfficeAdmin(OpenToStaff, ModelAdmin):
    """A page that staff may use, and on which a refusal of the database is a sentence to read."""

    show_full_result_count = False
    list_per_page = 50

    class Media:
        css: ClassVar = {"all": ["shop/admin.css"]}

    def changeform_view(
        self,
        request: HttpRequest,
        object_id: str | None = None,
        form_url: str = "",
        extra_context: dict[str, Any] | None = None,
    ) -> HttpResponse:
        """Show a row or store what was sent; if refused, show what was sent with the reason."""
        try:
            return super().changeform_view(request, object_id, form_url, extra_context)
        except IntegrityError as error:
            request.refusal = _reason(error)  # type: ignore[attr-defined]
            return super().changeform_view(request, object_id, form_url, extra_context)

    def get_form(
        self,
        request: HttpRequest,
        obj: Any = None,
        change: bool = False,  # noqa: FBT001, FBT002 (Django's signature)
        **kwargs: Any,
    ) -> type[ModelForm]:
        """Return the form of a row, which is invalid once the database has refused it."""
        form = super().get_form(request, obj, change=change, **kwargs)
        if refusal := getattr(request, "refusal", ""):
            return type(form.__name__, (RefusedForm, form), {"refusal": refusal})
        return form

    def delete_view(
        self, request: HttpRequest, object_id: str, extra_context: dict[str, Any] | None = None
    ) -> HttpResponse:
        """Delete a row, or say why the database refused to."""
        return self._or_say_why(
            request, lambda: super(OfficeAdmin, self).delete_view(request, object_id, extra_context)
        )

    def changelist_view(
        self, request: HttpRequest, extra_context: dict[str, Any] | None = None
    ) -> HttpResponse:
        """List rows, or do something to the chosen ones, or say why the database refused to."""
        return self._or_say_why(
            request, lambda: super(OfficeAdmin, self).changelist_view(request, extra_context)
        )

    def _or_say_why(self, request: HttpRequest, answer: Callable[[], HttpResponse]) -> HttpResponse:
        try:
            return answer()
        except IntegrityError as error:
            self.message_user(request, _reason(error), messages.ERROR)
            return HttpResponseRedirect(request.get_full_path())


def _reason(error: IntegrityError) -> str:
    """Return the sentence of the rule that was broken; without one it stays a fault."""
    problem = database_problem(error)
    if problem is None:
        raise error
    return problem.detail


class ShownAdmin(OnlyShown, OfficeAdmin):
    """A page that shows rows and changes nothing."""


class OfficeInline(OpenToStaff, TabularInline):
    """Rows that belong to a row, to be changed with it."""

    extra = 0


class ShownInline(OnlyShown, TabularInline):
    """Rows that belong to a row, shown with it: `fields`, with the relations in `joined`."""

    extra = 0
    can_delete = False
    fields: ClassVar[tuple[Any, ...]] = ()
    joined: ClassVar[tuple[str, ...]] = ()

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> "tuple[Any, ...]":  # noqa: ARG002
        """Return what is shown: all of it."""
        return self.fields

    def get_queryset(self, request: HttpRequest) -> "models.QuerySet[Any]":
        """Return the rows with the relations that are shown."""
        return super().get_queryset(request).select_related(*self.joined)


class CatalogueAdmin(OfficeAdmin):
    """A table of the catalogue, whose shipped rows can be edited but neither renamed nor deleted.

    The code is what a later catalogue knows a row by: without it the row would come back.
    """

    list_display: "tuple[Any, ...]" = ("code", "name", "provenance")
    list_filter: ClassVar[tuple[Any, ...]] = ("provenance",)
    search_fields: ClassVar[tuple[str, ...]] = ("code", "name")

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        """Return whether rows can be deleted: only those of the shop's own."""
        return super().has_delete_permission(request) and not (obj and obj.shipped_digest)

    def get_readonly_fields(self, request: HttpRequest, obj: Any = None) -> tuple[str, ...]:
        """Return the columns that stay as they are."""
        fields = tuple(super().get_readonly_fields(request, obj))
        return (*fields, "code") if obj and obj.shipped_digest else fields

    def formfield_for_dbfield(
        self, db_field: "models.Field[Any, Any]", request: HttpRequest, **kwargs: Any
    ) -> forms.Field | None:
        """Return how a column is entered: several of a few choices are boxes to tick."""
        if isinstance(db_field, ArrayField) and db_field.base_field.choices:
            return forms.MultipleChoiceField(
                choices=db_field.base_field.choices,
                widget=forms.CheckboxSelectMultiple,
                label=str(db_field.verbose_name).capitalize(),
            )
        return super().formfield_for_dbfield(db_field, request, **kwargs)
