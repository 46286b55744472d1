"""The kinds of problem that this app answers with, beside those of its tables' rules."""

from shop.errors import ProblemKind

PROBLEMS = (
    ProblemKind(
        "finding-exists",
        409,
        "Finding exists",
        "The examination has a finding of the same fault, component and cause on the same note."
        " Change that one, or leave the row out; the errors name each row. Nothing was stored.",
    ),
    ProblemKind(
        "check-already-answered",
        409,
        "Check already answered",
        "The examination has a result of this check on the same note. Remove that one first, or"
        " leave the row out; the errors name each row. Nothing was stored.",
    ),
    ProblemKind(
        "nothing-to-compare",
        409,
        "Nothing to compare",
        "The examination follows up no other. Say in its `follows` which earlier examination of the"
        " same instrument it is to be compared with.",
    ),
    ProblemKind(
        "room-first-no-plan",
        409,
        "Room first is no plan",
        "The room was treated already, is in range or unmeasured, or cures none of what was found."
        " GET the examination's plans, which say so beforehand, and quote the work now.",
    ),
    ProblemKind(
        "room-remedy-unknown",
        409,
        "Room remedy unknown",
        "No remedy with this code treats the room of such an action. /remedies shows which of them"
        " treat the room.",
    ),
    ProblemKind(
        "note-weighed",
        409,
        "Note weighed already",
        "The examination has weights of the same note. Remove those first, or leave the row out;"
        " the errors name each row. Nothing was stored.",
    ),
    ProblemKind(
        "not-in-bag",
        409,
        "Not in the bag",
        "Parts are fitted out of the job bag, and it does not hold that much. Look up what it holds"
        " on the quote, and move more into it from the shelf first.",
    ),
)
