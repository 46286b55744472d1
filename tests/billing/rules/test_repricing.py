from decimal import Decimal

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from billing.rules.allowances import Adjustment
from billing.rules.price_list import Change, ListPrice, PriceList, Proposal, proposed
from billing.rules.prices import FeePrice, PartPrice, PriceBook, Taxed
from billing.rules.pricing import priced_lines
from billing.rules.repricing import NetPrices, QuotedLine, net_at
from billing.rules.totals import TaxKey
from diagnostics.rules.estimate import Minutes, PartNeed, RemedyUse, SetUp

TAX = TaxKey("S", Decimal(20))
LINES = [("set_up", 0), ("labour", 1), ("part", 1), ("fee", 0)]
amounts = st.integers(0, 9999).map(lambda cents: Decimal(cents) / 100)


def quoted(lines):
    return [
        QuotedLine(
            kind=line.kind,
            quantity=line.quantity,
            unit_price=line.price.amount,
            discount=line.discount,
            net=line.net,
            part_ids=(line.part_id,) if line.part_id else (),
            fee_kind="travel" if line.kind == "fee" else None,
        )
        for line in lines
    ]


def book(hour, part, travel, minimum, discount=Decimal(0)):
    taxed = [Taxed(amount, 1, TAX) for amount in (hour, part, travel, minimum)]
    return PriceBook(
        decimals=2,
        hour=taxed[0],
        parts={1: PartPrice("Cloth", "metre", taxed[1])},
        fees=(FeePrice("Travel", taxed[2]),),
        minimum=FeePrice("Least", taxed[3]),
        discounts=dict.fromkeys(LINES, Adjustment("Old custom", percent=discount)),
    )


def prices(hour, part, travel, minimum):
    return NetPrices(2, hour, {"travel": travel}, {1: part}, minimum)


@st.composite
def uses(draw):
    minutes = [Decimal(draw(st.integers(1, 60))) for _ in range(3)]
    set_up = SetUp("out", "Action out", 1, Minutes(*sorted(minutes)))
    need = PartNeed(1, Decimal(draw(st.integers(1, 99))) / 10)
    times = draw(st.integers(1, 88))
    return [RemedyUse(1, "Ease", set_up, times, times, Minutes(*sorted(minutes)), (need,))]


@settings(max_examples=40, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(
    uses(),
    *(st.tuples(*[amounts] * 4),) * 2,
    st.integers(0, 10000).map(lambda share: Decimal(share) / 100),
)
def test_repricing_is_quoting_anew(work, before, after, discount):
    undiscounted = priced_lines(work, {}, book(*before))
    anew = sum(line.net for line in priced_lines(work, {}, book(*after)))
    assert net_at(quoted(undiscounted), prices(*after)) == anew

    discounted = priced_lines(work, {}, book(*before, discount))
    as_quoted = sum(line.net for line in discounted)
    assert net_at(quoted(discounted), prices(*before)) == as_quoted


def test_what_has_no_price_any_more_keeps_its_own():
    fee = QuotedLine("fee", Decimal(1), Decimal(30), Decimal(3), Decimal(27), fee_kind=None)
    part = QuotedLine("part", Decimal(2), Decimal(5), Decimal(0), Decimal(10), part_ids=(9,))
    assert net_at([fee, part], NetPrices(2, Decimal(60))) == 37


def test_the_dearest_part_of_a_kit_sets_its_price():
    pins = QuotedLine("part", Decimal(3), Decimal(5), Decimal(0), Decimal(15), part_ids=(7, 8, 9))
    assert net_at([pins], NetPrices(2, Decimal(60), parts={7: Decimal(1), 8: Decimal(2)})) == 6


def test_what_was_free_stays_free_whatever_the_least_that_a_job_costs():
    free = QuotedLine("labour", Decimal(1), Decimal(60), discount=Decimal(60), net=Decimal(0))
    paid = QuotedLine("labour", Decimal(1), Decimal(60), discount=Decimal(0), net=Decimal(60))
    prices = NetPrices(2, Decimal(70), minimum=Decimal(90))
    assert [net_at(lines, prices) for lines in ([free], [free, paid], [paid, paid])] == [0, 90, 140]


def test_a_proposal_changes_prices_by_amount_or_percent():
    parts = {key: ListPrice("Cloth", Decimal("0.3335"), 1) for key in (1, 2, 3)}
    now = PriceList(
        ListPrice("Hour", Decimal(60), 1), {"travel": ListPrice("T", Decimal(9), 1)}, parts
    )
    then = proposed(
        now,
        Proposal(
            hour=Change(percent=Decimal("-2.5")),
            fees={"travel": Change(amount=Decimal(12))},
            parts={1: Change(amount=Decimal(1)), 2: Change()},
            all_parts=Change(percent=Decimal(10)),
        ),
    )
    # By hand: 97.5 % of 60; 110 % of 0.3335 is 0.36685, to four decimals with halves up.
    assert then.hour.amount == Decimal("58.5")
    assert then.fees["travel"].amount == 12
    assert [then.parts[key].amount for key in (1, 2, 3)] == [
        Decimal(1),
        Decimal("0.3335"),
        Decimal("0.3669"),
    ]
    assert proposed(now, Proposal()) == now
