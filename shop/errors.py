"""What an action raises when it will not do what it was asked, and the kinds of problem there are.

Every code that is raised is a `ProblemKind` in the `PROBLEMS` of some app's `errors.py`: it answers
at /problems/<code> with a page that explains it. Codes of constraints and guards need none.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class ProblemKind:
    """A kind of problem that the API answers with.

    `status` is its HTTP status, `title` a short name that never varies, and `explanation` what it
    means and what to do about it, for its page.
    """

    code: str
    status: int
    title: str
    explanation: str


@dataclass(frozen=True)
class FieldError:
    """One thing wrong with what was sent.

    `pointer` is a JSON Pointer (RFC 6901) into the request body, such as "/findings/3/note" (""
    is the whole body), `code` a stable word for a program and `detail` a sentence for a person.
    """

    pointer: str
    code: str
    detail: str


@dataclass(frozen=True)
class ParameterError:
    """One thing wrong with the query: `parameter` is the name it has in the URL."""

    parameter: str
    code: str
    detail: str


class ShopError(Exception):
    """Base of the errors that a caller can do something about.

    `code` is stable and names a page under /problems/; `detail` says what was wrong, where, and
    what to do about it.
    """

    def __init__(
        self, code: str, detail: str, errors: tuple[FieldError | ParameterError, ...] = ()
    ) -> None:
        super().__init__(detail)
        self.code = code
        self.detail = detail
        self.errors = errors


class InvalidInput(ShopError):
    """The values sent cannot be right, whatever the state of the shop: HTTP 400."""


class Refused(ShopError):
    """The values are well formed, but a rule or the present state forbids the change: HTTP 409."""


PROBLEMS = (
    ProblemKind(
        "not-shelf-or-van",
        409,
        "Not a shelf or van",
        "Stock is put away on a shelf or in a van of the shop, and taken from one. Name one that "
        "is open; job bags are filled by quotes.",
    ),
    ProblemKind(
        "stock-short",
        409,
        "Too little in stock",
        "A place holds less of a part than was to be taken. The errors name each line and say what "
        "there is. Receive or transfer stock, count the place, or take less.",
    ),
    ProblemKind(
        "place-being-counted",
        409,
        "The place is being counted",
        "A place is counted once at a time, or a difference would be posted twice. Settle or drop "
        "the open sheet of this place first.",
    ),
    ProblemKind(
        "count-ended",
        409,
        "The count has ended",
        "A count sheet that was settled or dropped stays as it is. Count again on another sheet.",
    ),
    ProblemKind(
        "lines-uncounted",
        409,
        "Lines that nobody counted",
        "Parts that were expected at the place have not been counted. Write down what was found, "
        "nothing as zero, or say in the request that they stay as they are.",
    ),
    ProblemKind(
        "last-owner",
        409,
        "The last owner",
        "Somebody who may sign in has to be owner of the shop, or nobody could manage its people. "
        "Make somebody else owner first.",
    ),
    ProblemKind(
        "order-sent",
        409,
        "Order was sent",
        "An order that was sent to a supplier stays as it was sent, but for the day on which its "
        "goods are expected. Close it and make another.",
    ),
    ProblemKind(
        "order-empty",
        409,
        "Order without lines",
        "An order that is sent has lines. Add some to the draft first.",
    ),
    ProblemKind(
        "order-not-awaited",
        409,
        "Nothing is awaited of the order",
        "Goods are received of an order that was sent and is not closed. Send the draft first; "
        "what comes of no order is posted as goods received.",
    ),
    ProblemKind(
        "below-minimum-order",
        409,
        "Below the supplier's minimum",
        "The supplier takes no order of so little. Order more, or say in the request that this is "
        "accepted.",
    ),
    ProblemKind(
        "not-offered",
        409,
        "Not offered by the supplier",
        "The supplier has no offer of the part, or not the one that was named. Add the offer with "
        "its pack and price, or order from another supplier.",
    ),
    ProblemKind(
        "offer-ambiguous",
        409,
        "Offered in several packs",
        "The supplier offers the part in several packs. Name the offer that is meant by its id.",
    ),
    ProblemKind(
        "too-few-packs",
        409,
        "Fewer packs than are sold",
        "The offer's first price holds from more packs on. Order that many, or state the price "
        "that was agreed.",
    ),
    ProblemKind(
        "more-than-ordered",
        409,
        "More than was ordered",
        "More packs came than are open on the order. The errors name each line and what is open. "
        "Receive what was ordered, or say in the request that the rest is kept too.",
    ),
    ProblemKind(
        "more-than-received",
        409,
        "More than was received",
        "Of a line no more packs go back than came and are still here. The errors name each line.",
    ),
    ProblemKind(
        "sheet-refused",
        409,
        "Sheet refused",
        "A sheet is stored whole or not at all, and some of its rows cannot be. The errors name "
        "each with its line and column. Mend them and send the sheet again; a trial shows "
        "beforehand what would become of every row.",
    ),
    ProblemKind(
        "pack-not-convertible",
        409,
        "Pack does not convert",
        "A pack has to turn into the unit that the part is counted in: lengths into lengths, cloth "
        "of a width into an area or into strips, weights into pieces by a stated count. A pack of "
        "nothing is none. The errors name the member that stands in the way.",
    ),
)
