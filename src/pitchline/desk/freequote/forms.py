"""A free quote as a form: how many of what, prices put by hand with their reason, charges, notes, the last day it holds."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms

from pitchline.desk.posts import MOST_FIGURE, MOST_NAME, MOST_REASON, sent_id
from pitchline.desk.problems import in_language
from pitchline.desk.spoken import later
from pitchline.desk.thousands import number_text
from pitchline.exchange.figures import count_of, number_of
from pitchline.money.free_quote import ONCE, Asked, FreeQuote, free_quote
from pitchline.money.machine_class import PricedMachine
from pitchline.money.prices import PriceLine, PriceList
from pitchline.money.usual_jobs import USUAL_JOBS
from pitchline.papers.price_words import class_said
from pitchline.papers.quote import check_until
from pitchline.trade.errors import NotAllowedError, phrase
from pitchline.trade.jobs import RENEWS, JobKind, opens_track
from pitchline.trade.machine import RunningGear
from pitchline.trade.parts import PartKind
from pitchline.trade.units import UnitSystem
from pitchline.words import translated
from pitchline.words.labels import ordered, singular

OWN_LINES = 3
LABOUR = [("1", later("parts and labour")), ("0", later("parts alone"))]
SIDES = [("0", later("none")), ("1", later("one side")), ("2", later("both sides"))]
CHARGES = {
    "lorry": later("Lorry, there and back"),
    "call_out": later("Call-out"),
    "fitter_day": later("Fitter’s day away"),
}


@dataclass(frozen=True, slots=True)
class Row:
    """One job on one part that can be quoted.

    Parameters
    ----------
    job : JobKind
        The job.
    part : PartKind
        The part.
    line : PriceLine or None
        The machine's own price; None where the list has none.
    which : str
        For which machines that price is, in words.
    """

    job: JobKind
    part: PartKind
    line: PriceLine | None
    which: str

    @property
    def key(self) -> str:
        """What its fields' names end in."""
        return f"{self.job.value}-{self.part.value}"

    @property
    def label(self) -> str:
        """What is done to what."""
        return ordered(self.job, singular(self.part))

    @property
    def small(self) -> bool:
        """Whether it is no renewal, and stands folded away."""
        return self.job not in (*RENEWS, JobKind.TURN)


def rows_of(listed: PriceList, machine: PricedMachine, gear: RunningGear | None, units: UnitSystem) -> list[Row]:
    """What can be quoted on a machine: jobs on parts that it has; every part where its running gear is not known."""
    jobs = dict.fromkeys((*USUAL_JOBS, *((line.job, line.part) for line in listed.lines)))
    order = {part: n for n, part in enumerate(PartKind)}
    found = []
    for job, part in sorted(jobs, key=lambda each: order[each[1]]):
        line = listed.own_line(job, part, machine)
        if (gear is None or gear.count(part)) and (line is not None or job is JobKind.REPLACE):
            found.append(Row(job, part, line, class_said(line.which, units) if line is not None else ""))
    return found


class FreeQuoteForm(forms.Form):
    """Everything a free quote is made from; `quote` is what it comes to."""

    quote_id = sent_id()
    customer = forms.CharField(required=False, max_length=MOST_NAME, label=later("Customer"))
    valid_until = forms.DateField(
        label=later("Holds until"),
        widget=forms.DateInput({"type": "date"}, "%Y-%m-%d"),
        input_formats=["%Y-%m-%d"],
        error_messages={
            "invalid": later("Type the day as YYYY-MM-DD."),
            "required": later("Type the last day it holds."),
        },
    )
    labour = forms.ChoiceField(choices=LABOUR, required=False, label=later("What is quoted"))
    sides = forms.ChoiceField(choices=SIDES, required=False, label=later("Opening the track and closing it again"))
    notes = forms.CharField(
        required=False,
        max_length=MOST_REASON,
        label=later("Note on the quote"),
        widget=forms.Textarea({"rows": 3}),
    )

    def __init__(
        self,
        data: Mapping[str, Any] | None = None,
        *,
        numbers: str,
        on: dt.date,
        prices: PriceList | None = None,
        rows: Sequence[Row] = (),
        gear: RunningGear | None = None,
        **kwargs: Any,
    ) -> None:
        self.numbers, self.on, self.prices, self.rows, self.gear = numbers, on, prices, rows, gear
        self.quote: FreeQuote | None = None
        super().__init__(data, **kwargs)
        self.fields["quote_id"].widget = forms.HiddenInput()
        for row in rows:
            self._add(
                f"count-{row.key}", translated("How many: {row}").format(row=row.label), MOST_FIGURE, "numeric"
            )
            self._add(
                f"price-{row.key}",
                translated("Price by hand for the whole line: {row}").format(row=row.label),
                MOST_FIGURE,
                "decimal",
            )
            self._add(f"why-{row.key}", translated("Why another price: {row}").format(row=row.label), MOST_NAME)
        for n in range(1, OWN_LINES + 1):
            self._add(f"words-{n}", translated("Line {n} in your own words").format(n=n), MOST_NAME)
            self._add(f"own-{n}", translated("Its price, line {n}").format(n=n), MOST_FIGURE, "decimal")
        for name in self.offered:
            self.fields[name] = forms.BooleanField(required=False, label=CHARGES[name])

    def _add(self, name: str, label: str, most: int, keys: str = "text") -> None:
        box = forms.TextInput({"inputmode": keys, "autocomplete": "off"})
        self.fields[name] = forms.CharField(required=False, max_length=most, label=label, widget=box)

    @property
    def offered(self) -> list[str]:
        """Charges the price list has."""
        stop = self.prices.stop if self.prices is not None else None
        return [name for name in ONCE if stop is not None and getattr(stop, name) is not None]

    def clean(self) -> dict[str, Any]:
        """What the lines come to; a field that cannot be used says so itself."""
        typed = self.cleaned_data
        lines = [line for row in self.rows if (line := self._line(row)) is not None]
        lines += [line for n in range(1, OWN_LINES + 1) if (line := self._own(n)) is not None]
        if typed.get("valid_until"):
            try:
                check_until(typed["valid_until"], self.on)
            except NotAllowedError as error:
                self._refuse(error, "valid_until")
        if not self.errors and self.prices is not None:
            if not lines:
                self.add_error(None, translated("Nothing is quoted yet: type how many of something."))
                return typed
            charges = [name for name in self.offered if typed.get(name)]
            sides, labour = int(typed.get("sides") or 0), typed.get("labour") != "0"
            try:
                self.quote = free_quote(self.prices, lines, charges, sides, labour)
            except NotAllowedError as error:
                self._refuse(error, "sides" if error.problem.field == "sides opened" else None)
            else:
                self._check_reasons()
        return typed

    def _check_reasons(self) -> None:
        if self.quote is None or self.quote.net is not None:
            return
        self.add_error(None, translated("No line has a price: type one for what the price list does not have."))

    def _refuse(self, error: NotAllowedError, name: str | None) -> None:
        problem = in_language(error.problem)
        said = translated("“{seen}”. Allowed: {allowed}. {next_step}").format(
            seen=problem.seen, allowed=problem.allowed, next_step=problem.next_step
        )
        self.add_error(name, said if name else f"{problem.field}: {said}")

    def _number(self, name: str) -> float | None:
        text = number_text(str(self.cleaned_data.get(name) or ""), self.numbers)
        if not text:
            return None
        try:
            return number_of(text, "price")
        except NotAllowedError as error:
            self._refuse(error, name)
            return None

    def _line(self, row: Row) -> Asked | None:
        count, price, why = (f"{each}-{row.key}" for each in ("count", "price", "why"))
        amount, text = self._number(price), number_text(str(self.cleaned_data.get(count) or ""), self.numbers)
        if not text or {count, price, why} & self.errors.keys():
            if not text and amount is not None:
                self.add_error(count, translated("Type how many, or empty the price."))
            return None
        try:
            many = count_of(text, translated("how many"), translated("a whole number"))
            if many == 0:
                return None
            return self._checked(row, Asked(row.job, row.part, many, "", amount, self.cleaned_data.get(why) or ""))
        except NotAllowedError as error:
            self._refuse(error, count)
            return None

    def _checked(self, row: Row, asked: Asked) -> Asked | None:
        """A line whose price was put by hand beside one of the list needs its reason."""
        if self.prices is not None and asked.price is not None and not asked.why.strip() and row.line is not None:
            try:
                free_quote(self.prices, [asked], with_labour=self.cleaned_data.get("labour") != "0")
            except NotAllowedError:
                self.add_error(f"why-{row.key}", translated("Say why it is another price than the list’s."))
                return None
        return asked

    def _own(self, n: int) -> Asked | None:
        said, price = str(self.cleaned_data.get(f"words-{n}") or "").strip(), self._number(phrase("own-{n}", n=n))
        if said and price is None and f"own-{n}" not in self.errors:
            self.add_error(f"own-{n}", translated("Type its price; 0 where it costs nothing."))
        if price is not None and not said and f"words-{n}" not in self.errors:
            self.add_error(f"words-{n}", translated("Say what it is for."))
        return Asked(None, None, 1, said, price) if said and price is not None else None

    @property
    def own(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        """Lines in own words: the words, the price."""
        return [(self[f"words-{n}"], self[f"own-{n}"]) for n in range(1, OWN_LINES + 1)]

    @property
    def charges(self) -> list[tuple[forms.BoundField, float]]:
        """Charges that can be ticked, with what the list says."""
        stop = self.prices.stop if self.prices is not None else None
        return [(self[name], getattr(stop, name)) for name in self.offered]

    @property
    def opens(self) -> bool:
        """Whether a job that is quoted opens a track while no opening is charged."""
        if self.quote is None or self.gear is None or self.cleaned_data.get("sides") not in ("", "0"):
            return False
        asked = [line.asked for line in self.quote.lines]
        return any(one.job and one.part and opens_track(one.job, one.part, self.gear) for one in asked)
