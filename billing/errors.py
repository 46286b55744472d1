"""The kinds of problem that this app answers with, beside those of its tables' rules."""

from billing.money_errors import MONEY_PROBLEMS
from shop.errors import ProblemKind

PROBLEMS = (
    *MONEY_PROBLEMS,
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
        "set-up-charged",
        409,
        "Set-up charged",
        "Getting further in is charged once. Other extra work that was agreed since charges for it,"
        " so that this change is priced too high: decline it and record it again.",
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
        " of its tax rate, and where nothing is left of them nothing is put on either; what is left"
        " for the last invoice bears those of the whole quote.",
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
