"""The kinds of problem that this app answers with, beside those of its tables' rules."""

from shop.errors import ProblemKind

PROBLEMS = (
    ProblemKind(
        "nothing-to-quote",
        409,
        "Nothing to quote",
        "The examination has no findings. Record what the notes do, then ask for the quote.",
    ),
    ProblemKind(
        "findings-undecided",
        409,
        "Findings undecided",
        "Some findings have neither a remedy nor a cause that the catalogue has a remedy for. Give"
        " them one, or send leave_out_undecided: true; the quote then lists them as left out.",
    ),
    ProblemKind(
        "already-quoted",
        409,
        "Already quoted",
        "The examination has an open quote, whose parts wait in a job bag. Withdraw it, or"
        " send revise: true to make its next version, or alternative: true to offer the other plan"
        " beside it.",
    ),
    ProblemKind(
        "no-pins-kept",
        409,
        "No pins kept",
        "Centres of unknown size take a kit of the sizes most met, and the shop keeps none of them"
        " in its size scheme. Add the parts, or measure the pins found.",
    ),
    ProblemKind(
        "labour-rate-missing",
        409,
        "Labour rate missing",
        "No labour rate holds on the day of the quote. The owner sets one under /labour-rates.",
    ),
    ProblemKind(
        "tax-rate-missing",
        409,
        "Tax rate missing",
        "The shop is registered for tax, and a category of tax has no rate on the day of the quote."
        " The owner sets one under /tax-rates; no rate is shipped, since local law decides.",
    ),
    ProblemKind(
        "fee-unknown",
        409,
        "Fee unknown",
        "The price book has no fee of this kind. The owner sets one under /fees.",
    ),
    ProblemKind(
        "quote-not-open",
        409,
        "Quote not open",
        "What was asked for needs the quote in another status: an offered quote is approved or"
        " declined, an approved one is worked on and completed.",
    ),
    ProblemKind(
        "quote-expired",
        409,
        "Quote expired",
        "The quote's last day has passed. Make a new one: prices and stock may have changed.",
    ),
    ProblemKind(
        "work-begun",
        409,
        "Work begun",
        "Bench work was recorded under the quote, so it can be completed but neither withdrawn nor"
        " revised: further work is a change to it.",
    ),
    ProblemKind(
        "no-bench-work",
        409,
        "No bench work",
        "A job is completed by what was done: record the bench work first.",
    ),
    ProblemKind(
        "change-undecided",
        409,
        "Change undecided",
        "Extra work beyond the shop's tolerance is proposed and undecided. Record the client's"
        " answer under /quote-changes, then complete the job.",
    ),
    ProblemKind(
        "change-decided",
        409,
        "Change decided",
        "A change is approved or declined once, while it is proposed. Record another change.",
    ),
    ProblemKind(
        "quote-not-completed",
        409,
        "Quote not completed",
        "An invoice is made of a completed quote. Complete the job first.",
    ),
    ProblemKind(
        "already-invoiced",
        409,
        "Already invoiced",
        "The quote or a line of it is on an invoice. A draft can be thrown away; an issued invoice"
        " stands until it is credited.",
    ),
    ProblemKind(
        "invoice-issued",
        409,
        "Invoice issued",
        "Issued invoices are never changed or removed.",
    ),
    ProblemKind(
        "invoice-not-issued",
        409,
        "Invoice not issued",
        "A draft cannot be paid. Issue it first.",
    ),
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
        " its closing balance, has lost a part. Fetch it from the bank again.",
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
    ProblemKind(
        "deposit-beyond-rest",
        409,
        "Deposit beyond the rest",
        "A deposit, or what is taken off for deposits, is more than what is left of the quote to"
        " invoice. Ask for less, or credit the deposit invoice.",
    ),
    ProblemKind(
        "discount-of-nothing",
        409,
        "Discount of nothing",
        "A discount is on a remedy, part or fee that the quote has a line of. Its lines follow from"
        " the findings: look at them, and name the remedy or part by its code.",
    ),
    ProblemKind(
        "option-unknown",
        409,
        "Option unknown",
        "An option is made of remedies that the quoted findings ask for, and is taken by its"
        " position in the quote.",
    ),
    ProblemKind(
        "not-agreed",
        409,
        "Not agreed",
        "The client did not take that option of the quote. Agree on it first: further work is a"
        " change to the quote.",
    ),
    ProblemKind(
        "no-deposit-asked",
        409,
        "No deposit asked",
        "The quote asks for no deposit, or all of it is invoiced. Say how much is wanted.",
    ),
    ProblemKind(
        "line-unknown",
        409,
        "Line unknown",
        "The quote or invoice has no line at that position. Its lines are listed with it.",
    ),
    ProblemKind(
        "credit-note-fixed",
        409,
        "Credit note fixed",
        "A credit note takes back what the invoice demanded; it has no allowances of its own.",
    ),
    ProblemKind(
        "allowance-beyond-lines",
        409,
        "Allowance beyond the lines",
        "A discount takes off no more than its line comes to, an allowance no more than the lines"
        " of its tax rate; and what is left for the last invoice bears those of the whole quote.",
    ),
    ProblemKind(
        "credit-of-credit",
        409,
        "Credit of a credit note",
        "A credit note is not credited. Invoice the work anew instead.",
    ),
    ProblemKind(
        "credit-beyond-left",
        409,
        "Credit beyond what is left",
        "Credit notes take back no more of an invoice, or of a line, than it demanded.",
    ),
    ProblemKind(
        "invoice-incomplete",
        409,
        "Invoice incomplete",
        "The invoice of a shop that is registered for tax says in which countries seller and buyer"
        " are, and why anything is exempt. Complete the profile, the client or the tax category.",
    ),
    ProblemKind(
        "no-electronic-invoice",
        409,
        "No electronic invoice",
        "XML is made of issued invoices and credit notes of a shop that is registered for tax, in a"
        " currency of two decimals.",
    ),
)
