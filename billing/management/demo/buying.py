"""What the shop lacks is ordered from who offers it, and comes."""

from typing import Any

from billing.management.demo.client import Caller
from billing.management.demo.show import table

Values = dict[str, Any]


def order_and_receive(office: Caller, place: int, freight: str) -> str:
    """Order what the reorder report suggests, put away what comes, and return what is to be told.

    `freight` is what each delivery cost to get here.
    """
    told = []
    for draft in office.post("reorder-report/orders")["orders"]:
        path = f"purchase-orders/{draft['id']}"
        order = office.post(f"{path}/send", {"accept_below_minimum": True})
        packs = [{"position": line["position"], "packs": line["packs"]} for line in order["lines"]]
        delivery = {"place": place, "lines": packs, "freight_amount": freight}
        receipt = office.post(f"{path}/receipts", delivery)
        told.append(
            f"{order['number']} to {order['supplier_name']}, {order['net_total']}"
            f" {order['currency']} before tax; it came with {freight} of freight:\n\n"
            f"{_came(order['lines'], receipt['lines'])}"
        )
    return "\n\n".join(told)


def _came(ordered: list[Values], received: list[Values]) -> str:
    rows = [
        (
            line["description"],
            f"{line['packs']} x {line['pack']}",
            f"{came['quantity']} {line['unit']}",
            came["goods_amount"],
            came["landed_amount"],
        )
        for line, came in zip(ordered, received, strict=True)
    ]
    return table(rows, ["part", "ordered", "put away>", "goods>", "freight>"])
