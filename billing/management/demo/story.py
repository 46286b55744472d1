"""The story: a school's upright in a damp room, then a grand with slow hammer centres."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from billing.management.demo.buying import order_and_receive
from billing.management.demo.client import Caller
from billing.management.demo.show import document_lines, heading, table

Tell = Callable[[str], None]
Values = dict[str, Any]


@dataclass(frozen=True)
class Story:
    """Three people, the scenario, and how what happens is told."""

    owner: Caller
    office: Caller
    technician: Caller
    scenario: Values
    folder: Path
    tell: Tell

    def run(self) -> Values:
        """Play the whole story and return the documents that it made."""
        self.set_up_shop()
        documents = self.damp_upright()
        self.slow_grand()
        self.tell(heading("What to order"))
        self.tell(self.reorder_table())
        self.tell(heading("Ordered in one call, and put away"))
        self.tell(order_and_receive(self.office, self.shelf(), self.scenario["freight"]))
        return documents

    def set_up_shop(self) -> None:
        """Fill in the shop's name, its tax, a supplier with offers, and the shelf."""
        self.owner.patch("shop-profile", self.scenario["shop_profile"])
        self.owner.post("tax-rates", self.scenario["tax_rate"])
        supplier = self.owner.post("suppliers", self.scenario["supplier"])
        for offer in self.scenario["supplier_offers"]:
            self.office.post("supplier-offers", {**offer, "supplier": supplier["id"]})
        lines = [
            {"part": part, "quantity": quantity, "unit_cost": cost}
            for part, (quantity, cost) in self.scenario["stock"].items()
        ]
        received = {"place": self.shelf(), "reference": "Opening stock", "lines": lines}
        self.office.post("goods-received", received)

    def damp_upright(self) -> Values:
        """Do the school's job from the first look to the payment."""
        school = self.scenario["school"]
        self.tell(heading(f"1. The complaint, at {school['client']['name']}"))
        self.tell(school["complaint"])
        examination = self.examination(school)
        self.take_readings(examination["instrument"], school["readings"])
        path = f"examinations/{examination['id']}"
        self.technician.post(f"{path}/check-results", school["checks"])
        self.technician.post(f"{path}/findings", school["findings"])
        self.tell(heading("2. What the notes do"))
        self.tell(self.technician.get(f"{path}/keyboard?format=text"))
        picture = self.technician.get(f"{path}/keyboard")

        self.tell(heading("3. The quote, before anything is touched"))
        before = self.levels()
        quote = self.technician.post(f"{path}/quote")
        self.tell_quote(quote)
        self.tell(heading("4. The parts leave the shelf for the job bag"))
        self.tell(self.stock_table(before, self.levels(), quote))

        self.office.post(f"quotes/{quote['id']}/approve", {"approved_by": school["approved_by"]})
        for work in school["work"]:
            self.technician.post(f"quotes/{quote['id']}/bench-work", self.bench_work(work))
        self.technician.post(f"quotes/{quote['id']}/complete")
        self.tell(heading("5. The work is done; what was not fitted is back"))
        self.tell(self.stock_table(before, self.levels(), quote))
        return {"quote": quote, "invoice": self.invoiced(quote), "keyboard": picture}

    def invoiced(self, quote: Values) -> Values:
        """Invoice a completed quote, take the payment in two parts, and return the invoice."""
        draft = self.office.post(f"quotes/{quote['id']}/invoice")
        path = f"invoices/{draft['id']}"
        invoice: Values = self.office.post(f"{path}/issue")
        self.tell(heading(f"6. Invoice {invoice['number']}, due on {invoice['due_on']}"))
        self.tell(f"{invoice['seller']['name']} to {invoice['buyer']['name']}\n")
        self.tell(document_lines(invoice))
        deposit = {"amount": "50.00", "method": "cash", "reference": "Paid at the door"}
        left = self.office.post(f"{path}/payments", deposit)["due_total"]
        rest = {"amount": left, "method": "transfer", "reference": invoice["number"]}
        paid: Values = self.office.post(f"{path}/payments", rest)
        for payment in paid["allocations"]:
            self.tell(f"Paid by {payment['method']}: {payment['amount']}")
        self.tell(f"Still due: {paid['due_total']}")
        return paid

    def slow_grand(self) -> None:
        """Post a sheet of findings about a grand, and have the quote approved on the spot."""
        recital = self.scenario["recital"]
        self.tell(heading(f"7. A grand, at {recital['client']['name']}'s: findings as a sheet"))
        examination = self.examination(recital)
        path = f"examinations/{examination['id']}"
        sheet = (self.folder / recital["findings_csv"]).read_text()
        self.technician.post(f"{path}/findings", sheet)
        self.tell(self.technician.get(f"{path}/keyboard?format=text"))
        wishes = [
            {"title": wish["title"], "remedies": [self.remedy_of(wish["cause"])]}
            for wish in recital["wishes"]
        ]
        quote = self.technician.post(f"{path}/quote", {"options": wishes})
        self.tell_quote(quote)
        approval = {"approved_by": recital["approved_by"], "options": recital["taken"]}
        quote = self.technician.post(f"quotes/{quote['id']}/approve", approval)
        agreed = quote["agreement"]
        self.tell(f"Agreed with what was ticked: {agreed['payable_total']} {agreed['currency']}.")
        self.tell(f"Approved on the spot by {quote['decided_by_name']}.")

    def examination(self, job: Values) -> Values:
        """Enter a client with site and instrument, the visit, and begin the examination."""
        client = self.office.post("clients", job["client"])
        site = self.office.post("sites", {**job["site"], "client": client["id"]})
        instrument = self.office.post("instruments", {**job["instrument"], "site": site["id"]})
        visit = self.technician.post(
            "visits",
            {
                "site": site["id"],
                "starts_at": ago(hours=job["visited_hours_ago"]),
                "ends_at": ago(hours=job["visited_hours_ago"] - 1),
                "purpose": "First look",
            },
        )
        examination: Values = self.technician.post(
            "examinations",
            {
                "instrument": instrument["id"],
                "visit": visit["id"],
                "examined_at": ago(hours=1),
                "complaint": job["complaint"],
            },
        )
        return examination

    def take_readings(self, instrument: int, readings: list[Values]) -> None:
        """Enter the readings of the room."""
        for reading in readings:
            values = {name: reading[name] for name in ("temperature_c", "humidity_percent")}
            taken_at = ago(hours=reading["hours_ago"])
            self.technician.post(
                "readings", {**values, "instrument": instrument, "taken_at": taken_at}
            )
        humidity = readings[-1]["humidity_percent"]
        self.tell(f"The room has {humidity} % relative humidity.")

    def bench_work(self, work: Values) -> Values:
        """Return what was done, with the remedy that the catalogue gives the cause."""
        cause = work["remedy_of"]
        done = {name: value for name, value in work.items() if name != "remedy_of"}
        return {**done, "remedy": self.remedy_of(cause), "cause_found": cause}

    def remedy_of(self, cause: str) -> str:
        """Return the code of the remedy that the catalogue gives a cause."""
        return code_of(self.technician.get(f"causes/{cause}")["remedy"])

    def tell_quote(self, quote: Values) -> None:
        """Tell a quote: lines, options, range, shortages, cautions."""
        self.tell(document_lines(quote))
        for option in quote["options"]:
            self.tell(f"If liked, {option['title']}: {option['gross_total']} more, with tax.")
        self.tell(
            f"Between {quote['net_low']} and {quote['net_high']} before tax, if every estimate of"
            f" time ran low or high; valid until {quote['valid_until']}."
        )
        for line in quote["bag_lines"]:
            if line["short_quantity"] != "0":
                self.tell(f"Short: {line['short_quantity']} of {line['name']}.")
        for caution in quote["cautions"]:
            self.tell(f"Caution, {caution['title'].lower()}: {caution['text']}")

    def stock_table(self, before: Values, after: Values, quote: Values) -> str:
        """Return levels of a quote's parts on the shelf and in its bag."""
        bag = self.levels(place=quote["bag"])
        rows = [
            (
                line["name"],
                before.get(line["part"], "0"),
                after.get(line["part"], "0"),
                bag.get(line["part"], "0"),
            )
            for line in quote["bag_lines"]
        ]
        return table(rows, ["part", "shelf before>", "shelf now>", "job bag now>"])

    def reorder_table(self) -> str:
        """Return what the reorder report wants, read as a sheet would."""
        report = self.office.get("reorder-report?needed_only=true")
        rows = [
            (
                row["name"],
                row["on_hand"],
                row["in_job_bags"],
                row["short_on_quotes"],
                row["forecast_per_week"],
                row["reorder_point"],
                f"{row['suggested_packs']} x {row['pack_quantity']}",
            )
            for row in report["items"]
        ]
        names = ["part", "on hand>", "in bags>", "short>", "a week>", "reorder at>", "order>"]
        return table(rows, names)

    def shelf(self) -> int:
        """Return the first shelf."""
        return int(self.office.get("places?kind=shelf")["items"][0]["id"])

    def levels(self, place: int | None = None) -> Values:
        """Return quantities by part at a place, the first shelf when none is named."""
        rows = self.all_of(f"levels?place={place or self.shelf()}&limit=200")
        return {row["part"]: row["quantity"] for row in rows}

    def all_of(self, path: str) -> list[Values]:
        """Return the rows of a list, page by page."""
        page = self.technician.get(path)
        rows: list[Values] = page["items"]
        while "next" in page:
            page = self.technician.get(page["next"].split("/api/v1/")[1])
            rows += page["items"]
        return rows


def ago(hours: int) -> str:
    """Return the time so many hours before now, as RFC 3339 writes it."""
    return (dt.datetime.now(dt.UTC) - dt.timedelta(hours=hours)).isoformat()


def code_of(row: Any) -> str:
    """Return a catalogue row's code, given as such or within the row."""
    return str(row["code"] if isinstance(row, dict) else row)
