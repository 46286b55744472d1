"""The kinds of problem that come of payments, bank statements and reminders."""

from shop.errors import ProblemKind

MONEY_PROBLEMS = (
    ProblemKind(
        "paid-beyond-due",
        409,
        "Paid beyond what is due",
        "The payment is larger than what is still due on the invoice. Look up due_total.",
    ),
    ProblemKind(
        "written-off-beyond-due",
        409,
        "Written off beyond what is due",
        "No more is written off than is still due on the invoice. Look up due_total.",
    ),
    ProblemKind(
        "beyond-payment",
        409,
        "Beyond the payment",
        "No more of a payment is allocated or refunded than is left of it. Look up credit_total.",
    ),
    ProblemKind(
        "nothing-to-allocate",
        409,
        "Nothing to allocate",
        "The payment has nothing left, or its client has no invoice on which something is due.",
    ),
    ProblemKind(
        "invoice-unknown",
        409,
        "Invoice unknown",
        "There is no invoice of that id to settle.",
    ),
    ProblemKind(
        "other-client",
        409,
        "Another client's invoice",
        "A payment settles invoices of its own client in its own currency. Where one payer settles"
        " for several clients, record a payment of each.",
    ),
    ProblemKind(
        "payment-refunded",
        409,
        "Payment was refunded",
        "A payment of which money was given back is not reversed before its refunds are.",
    ),
    ProblemKind(
        "already-reversed",
        409,
        "Already reversed",
        "What was recorded is taken back once. If it did happen, record it anew.",
    ),
    ProblemKind(
        "reversal-stands",
        409,
        "A reversal stands",
        "A reversal is not reversed. If what it took back did happen, record it anew.",
    ),
    ProblemKind(
        "statement-known",
        409,
        "Statement known",
        "A bank statement is kept once. This file, or the statement of this name, was sent before;"
        " nothing is counted twice.",
    ),
    ProblemKind(
        "statement-not-whole",
        400,
        "Statement not whole",
        "A file that cannot be read to its end, or whose entries do not lead from its opening to"
        " its closing balance, has lost a part. Fetch it from the bank again. An entry of a day"
        " still to come is taken once that day has come.",
    ),
    ProblemKind(
        "entry-differs",
        409,
        "Entry differs",
        "The bank's reference of an entry occurs once in an account. This one is kept with another"
        " day or amount, or stands in the file twice.",
    ),
    ProblemKind(
        "entry-closed",
        409,
        "Entry closed",
        "The entry is recorded as a payment already, was dismissed, or is money that went out.",
    ),
    ProblemKind(
        "match-uncertain",
        409,
        "Match uncertain",
        "Only where the structured reference is an invoice's own and the amount is what is due, an"
        " entry is accepted without saying for what. Name the client, and the invoices if any.",
    ),
    ProblemKind(
        "reminders-changed",
        409,
        "Reminders changed",
        "Reminders are sent as they were shown. Since then something was paid, issued, changed or"
        " sent; read /reminders/due again, and send its `seen`.",
    ),
    ProblemKind(
        "reminder-not-due",
        409,
        "Reminder not due",
        "Only invoices whose reminder is among those shown can be named.",
    ),
    ProblemKind(
        "reminder-mailed",
        409,
        "Reminder mailed",
        "A reminder is mailed once. A letter, of a client without an e-mail address, never is.",
    ),
)
