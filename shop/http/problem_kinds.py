"""The kinds of problem that any endpoint can answer with."""

from shop.errors import ProblemKind

PROBLEMS = (
    ProblemKind(
        "bad-request",
        400,
        "Bad request",
        "The request could not be understood. Check the URL, the headers and the host name.",
    ),
    ProblemKind(
        "malformed-json",
        400,
        "Malformed JSON",
        "The body is not one JSON document in UTF-8, names a member twice, or is nested too deep. "
        "Send a JSON object; the detail says where reading it stopped.",
    ),
    ProblemKind(
        "malformed-csv",
        400,
        "Malformed CSV",
        "The body is not CSV in UTF-8 with a header row of known columns. Save the sheet as CSV "
        "in UTF-8 with comma, semicolon or tab between the cells; the errors name each line.",
    ),
    ProblemKind(
        "invalid-input",
        400,
        "Invalid input",
        "Some values cannot be right. Each error points at a value of the body by JSON Pointer "
        "(RFC 6901) and says what is expected there. Nothing was stored.",
    ),
    ProblemKind(
        "invalid-query",
        400,
        "Invalid query",
        "A parameter after the ? of the URL is unknown, given twice, or has a value that it cannot "
        "have. Each error names the parameter.",
    ),
    ProblemKind(
        "invalid-cursor",
        400,
        "Invalid cursor",
        "The cursor was not made for this list in this order. Follow the `next` address as it "
        "stands, or start again without a cursor.",
    ),
    ProblemKind(
        "invalid-idempotency-key",
        400,
        "Invalid idempotency key",
        "An Idempotency-Key is 1 to 255 visible ASCII characters, best a new UUID, in quotes or "
        "without.",
    ),
    ProblemKind(
        "not-authenticated",
        401,
        "Not authenticated",
        "Send the header `Authorization: Bearer <token>`.",
    ),
    ProblemKind(
        "token-refused",
        401,
        "Token refused",
        "The token is unknown, has expired or was revoked, or its owner may no longer sign in. "
        "Ask for a new token.",
    ),
    ProblemKind(
        "forbidden",
        403,
        "Forbidden",
        "Your role does not include this. Ask the owner of the shop.",
    ),
    ProblemKind(
        "not-found",
        404,
        "Not found",
        "There is nothing at this address, or nothing that you may see. Check the path and the id.",
    ),
    ProblemKind(
        "method-not-allowed",
        405,
        "Method not allowed",
        "This address does not take this method. The header Allow names those that it takes.",
    ),
    ProblemKind(
        "not-acceptable",
        406,
        "Not acceptable",
        "The header Accept, or the parameter `format`, asks for a media type that this address "
        "does not speak.",
    ),
    ProblemKind(
        "already-exists",
        409,
        "Already exists",
        "There is one already with this name, code or number. Use that one, or choose another.",
    ),
    ProblemKind(
        "in-use",
        409,
        "In use",
        "Something else still refers to this, so it cannot be removed.",
    ),
    ProblemKind(
        "reference-missing",
        409,
        "Reference missing",
        "Something that this refers to does not exist, or was removed at the same moment.",
    ),
    ProblemKind(
        "idempotency-key-in-use",
        409,
        "Idempotency key in use",
        "The first request with this Idempotency-Key is still being worked on. Send it again after "
        "the seconds that Retry-After gives, with the same key.",
    ),
    ProblemKind(
        "length-required",
        411,
        "Length required",
        "Send the header Content-Length; bodies in chunks are not taken.",
    ),
    ProblemKind(
        "precondition-failed",
        412,
        "Precondition failed",
        "It was changed since you read it, or the header If-Match has no strong entity tag of it. "
        "Read it again, look at the difference, and send your change with the new ETag.",
    ),
    ProblemKind(
        "body-too-large",
        413,
        "Body too large",
        "The body is larger than this address takes. Send it in several requests.",
    ),
    ProblemKind(
        "unsupported-media-type",
        415,
        "Unsupported media type",
        "The header Content-Type names something that this address does not take. The header "
        "Accept of the answer lists what it takes.",
    ),
    ProblemKind(
        "idempotency-key-reused",
        422,
        "Idempotency key reused",
        "This Idempotency-Key was sent before with another body. Use a new key for a new request.",
    ),
    ProblemKind(
        "precondition-required",
        428,
        "Precondition required",
        "Changes need the header If-Match with the ETag of what you read, so that nobody's change "
        "is lost. Read it, then send the change with `If-Match: <ETag>`.",
    ),
    ProblemKind(
        "too-many-requests",
        429,
        "Too many requests",
        "Wait for the seconds that Retry-After gives, then go on more slowly.",
    ),
    ProblemKind(
        "internal-error",
        500,
        "Internal error",
        "The server met a fault of its own, which was logged. Nothing was stored. Sending the same "
        "request again with the same Idempotency-Key is safe.",
    ),
    ProblemKind(
        "database-busy",
        503,
        "Database busy",
        "Other work held what this request needs for too long. Nothing was stored; send it again "
        "after the seconds that Retry-After gives.",
    ),
    ProblemKind(
        "database-unavailable",
        503,
        "Database unavailable",
        "The database cannot be reached at the moment. Send the request again after the seconds "
        "that Retry-After gives, with the same Idempotency-Key.",
    ),
)
