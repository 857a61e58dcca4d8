"""The price list as a form: what is typed for one class of machine becomes a whole list; the core checks each figure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from django import forms

from pitchline.desk.posts import (
    MOST_FIGURE,
    MOST_NAME,
    MOST_REASON,
    sent_id,
)
from pitchline.desk.problems import in_language
from pitchline.desk.spoken import later
from pitchline.desk.thousands import number_text
from pitchline.exchange.figures import exact_number, number_of, text_of
from pitchline.exchange.price_figures import months_of, months_text, percent, share_of
from pitchline.money.machine_class import EVERY, MachineClass
from pitchline.money.owning import OWNING_WORDS, SHARES, Owning
from pitchline.money.prices import FIGURE_WORDS, STANDING, ClassFigure, ClassOwning, PriceLine, PriceList
from pitchline.money.stop_costs import StopCosts
from pitchline.money.usual_jobs import USUAL_JOBS
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.jobs import RENEWS, JobKind
from pitchline.trade.parts import PartKind
from pitchline.trade.writing import marks_of
from pitchline.words import translated
from pitchline.words.labels import label, ordered, singular

CELLS = {
    "low": later("low price"),
    "usual": later("usual price"),
    "high": later("high price"),
    "hours": later("labour hours"),
}
PER = [("each", later("each")), ("piece", later("a piece"))]
_BIG_JOBS = (*RENEWS, JobKind.TURN)
FIGURE_LABELS = {
    "labour_per_h": later("Labour, an hour"),
    "lorry": later("Lorry, there and back"),
    "call_out": later("Call-out"),
    "fitter_day": later("Fitter’s day away"),
    "opening_per_side": later("Opening the track of one side"),
    "standing_per_h": later("Machine standing, an hour"),
    "busy_standing_per_h": later("The same in busy months"),
}
OWNING_LABELS = {
    "price_new": later("List price with what is fitted"),
    "life_h": later("Hours until it is sold"),
    "hours_per_year": later("Hours worked in a year"),
    "discount": later("Discount, %"),
    "tax": later("Tax on it, %"),
    "freight": later("Bringing it"),
    "salvage": later("Sold in the end for, % of the price"),
    "interest": later("Cost of money in a year, %"),
    "wear_parts": later("Running gear priced on this page"),
    "repair_factor": later("Repairs over its life, share of the price"),
    "fuel_per_h": later("Fuel, oil and grease, an hour"),
}


@dataclass(frozen=True, slots=True)
class Row:
    """One job on one part in the form.

    Parameters
    ----------
    job : JobKind
        The job.
    part : PartKind
        The part.
    key : str
        What its fields' names end in.
    small : bool
        Whether it is no renewal, and stands folded away.
    """

    job: JobKind
    part: PartKind
    key: str
    small: bool

    @property
    def label(self) -> str:
        """What is done to what."""
        return ordered(self.job, singular(self.part))


def rows_of(prices: PriceList | None) -> list[Row]:
    """The jobs a form asks for: the usual ones, and whatever else the list has for any machine."""
    listed = {(line.job, line.part): None for line in prices.lines} if prices is not None else {}
    found = dict.fromkeys((*USUAL_JOBS, *listed))
    order = {part: n for n, part in enumerate(PartKind)}
    return [
        Row(job, part, f"{job.value}-{part.value}", job not in _BIG_JOBS)
        for job, part in sorted(found, key=lambda each: order[each[1]])
    ]


def words_field(label: str, most: int = MOST_FIGURE, **more: Any) -> forms.CharField:
    """A short text, or none."""
    return forms.CharField(required=False, max_length=most, label=label, **more)


def figure_field(label: str) -> forms.CharField:
    """A figure as typed, or none."""
    box = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
    return words_field(label, widget=box)


class Refused(forms.Form):
    """A form whose core errors stand at the field they name."""

    fields_of: ClassVar[Mapping[str, str]] = {}
    """The field for each thing the core may name."""

    def refuse(self, error: NotAllowedError, name: str | None = None) -> None:
        """Nothing comes out; the field says what was wrong with it."""
        problem = in_language(error.problem)
        said = translated("“{seen}”. Allowed: {allowed}. {next_step}").format(
            seen=problem.seen, allowed=problem.allowed, next_step=problem.next_step
        )
        name = name or self.fields_of.get(error.problem.field)
        self.add_error(name if name in self.fields else None, said if name else f"{problem.field}: {said}")


class PricesForm(Refused):
    """Prices and figures of one class of machine; `prices` is the whole list they make."""

    fields_of: ClassVar = {said: name for name, said in (*FIGURE_WORDS.items(), *OWNING_WORDS.items())} | {
        "labour rate": "labour_per_h", "currency": "currency", "tax percent": "tax_rate", "busy months": "busy_months",
    }  # fmt: skip
    seen = sent_id()
    why = forms.CharField(required=False, max_length=MOST_REASON, label=later("Why"))

    def __init__(
        self,
        data: Mapping[str, Any] | None = None,
        *,
        numbers: str,
        which: MachineClass = EVERY,
        listed: PriceList | None = None,
        shown: PriceList | None = None,
    ) -> None:
        self.numbers, self.which, self.listed = numbers, which, listed
        self.rows = rows_of(shown or listed)
        self.prices: PriceList | None = None
        super().__init__(data, initial=dict(self._begun(shown or listed)))
        self.fields["seen"].widget = forms.HiddenInput()
        for row in self.rows:
            self._add_row(row.key, row.label, USUAL_JOBS.get((row.job, row.part), "each"))
        self.fields["more-job"] = forms.ChoiceField(
            choices=[("", translated("a job")), *((job.value, label(job)) for job in JobKind)],
            required=False,
            label=translated("Job"),
        )
        parts = [(part.value, singular(part)) for part in PartKind]
        self.fields["more-part"] = forms.ChoiceField(
            choices=[("", translated("a part")), *parts], required=False, label=translated("Part")
        )
        self._add_row("more", translated("another job"), "each")
        self._add_figures()
        for field in self.fields.values():
            if isinstance(field, forms.CharField) and "class" not in field.widget.attrs:
                field.widget.attrs["size"] = "8"

    def _add_row(self, key: str, label: str, per: str) -> None:
        for cell, said in CELLS.items():
            self.fields[f"{cell}-{key}"] = figure_field(f"{label}: {said}")
        self.fields[f"per-{key}"] = forms.ChoiceField(
            choices=PER, required=False, label=translated("{label}: price for").format(label=label)
        )
        self.initial.setdefault(f"per-{key}", per)

    def _add_figures(self) -> None:
        if self.which == EVERY:
            self.fields["currency"] = forms.CharField(
                max_length=3, label=translated("Currency"), help_text=translated("Three letters, such as EUR.")
            )
            self.fields["source"] = words_field(translated("Where the prices are from"), MOST_NAME)
            self.fields["tax_rate"] = figure_field(translated("Tax on quotes, %"))
            self.fields["busy_months"] = words_field(
                translated("Busy months"), help_text=translated("Such as 4-10 or 11 to 2.")
            )
        for name, called in FIGURE_LABELS.items():
            self.fields[name] = figure_field(called)
        self.fields["labour_per_h"].required = self.which == EVERY
        for name, called in OWNING_LABELS.items():
            self.fields[name] = figure_field(called)

    def _begun(self, prices: PriceList | None) -> Iterator[tuple[str, str]]:
        """What the form begins with: the figures of a list, written so that they read back."""
        if prices is None:
            return
        for line in prices.lines:
            if line.which == self.which:
                key = f"{line.job.value}-{line.part.value}"
                yield f"low-{key}", "" if line.price_low == line.price_usual else self._said(line.price_low)
                yield f"usual-{key}", self._said(line.price_usual)
                yield f"high-{key}", "" if line.price_high == line.price_usual else self._said(line.price_high)
                yield f"hours-{key}", self._said(line.labour_h)
                yield f"per-{key}", line.per
        if self.which == EVERY:
            yield from (("currency", prices.currency), ("source", prices.source))
            yield "labour_per_h", self._said(prices.labour_per_h)
            if prices.tax_rate is not None:
                yield "tax_rate", self._comma(percent(prices.tax_rate))
            if prices.stop is not None:
                yield "busy_months", months_text(prices.stop.busy_months)
                for name in FIGURE_LABELS:
                    amount = getattr(prices.stop, name, None)
                    if amount is not None:
                        yield name, self._said(amount)
        for one in prices.figures:
            if one.which == self.which:
                yield one.name, self._said(one.amount)
        for reckoned in prices.owning:
            if reckoned.which == self.which:
                for name in OWNING_LABELS:
                    amount = getattr(reckoned.owning, name)
                    if amount:
                        yield name, self._comma(percent(amount)) if name in SHARES else self._said(amount)

    def _said(self, number: float) -> str:
        return self._comma(exact_number(number))

    def _comma(self, text: str) -> str:
        return text.replace(".", marks_of(self.numbers)[1])

    def _read(self, name: str, share: bool = False) -> float | None:
        """A figure as typed; None where nothing is, or, with the reason at its field, where it is none."""
        text = number_text(str(self.cleaned_data.get(name, "")), self.numbers)
        if not text:
            return None
        try:
            return share_of(text, "figure") if share else number_of(text, "figure")
        except NotAllowedError as error:
            self.refuse(error, name)
            return None

    def clean(self) -> dict[str, Any]:
        """The list that the fields make; a field that cannot be used says so itself."""
        rows = [(row.job, row.part, row.key) for row in self.rows]
        job, part = self.cleaned_data.get("more-job"), self.cleaned_data.get("more-part")
        if any(self.cleaned_data.get(f"{cell}-more") for cell in CELLS):
            if not job or not part:
                self.add_error("more-part" if job else "more-job", translated("Choose one of them."))
            elif (JobKind(job), PartKind(part)) in {(row.job, row.part) for row in self.rows}:
                self.add_error("more-job", translated("It has a line of its own above. Type the price there."))
            else:
                rows.append((JobKind(job), PartKind(part), "more"))
        lines = [line for job, part, key in rows if (line := self._line(job, part, key)) is not None]
        figures = {name: self._read(name) for name in FIGURE_LABELS}
        owning = self._owning()
        if owning is not None and figures["standing_per_h"] is not None:
            said = translated("Type it, or what it is reckoned from below: not both. Empty one of them.")
            self.add_error("standing_per_h", said)
        if not self.errors:
            try:
                self.prices = self._whole(lines, figures, owning)
            except NotAllowedError as error:
                self.refuse(error)
        return self.cleaned_data

    def _line(self, job: JobKind, part: PartKind, key: str) -> PriceLine | None:
        typed = {cell: self._read(f"{cell}-{key}") for cell in CELLS}
        if not any(self.cleaned_data.get(f"{cell}-{key}") for cell in CELLS):
            return None
        usual = typed["usual"]
        if usual is None:
            if f"usual-{key}" not in self.errors:
                self.add_error(
                    f"usual-{key}", translated("Type the usual price; 0 where nothing is paid but labour.")
                )
            return None
        low, high = (usual if typed[cell] is None else typed[cell] for cell in ("low", "high"))
        hours = typed["hours"] if typed["hours"] is not None else self._usual_hours(job, part)
        per = self.cleaned_data.get(f"per-{key}") or USUAL_JOBS.get((job, part), "each")
        if not low <= usual <= high:  # type: ignore[operator]  # neither is None here
            wrong = "low" if low > usual else "high"  # type: ignore[operator]
            self.add_error(f"{wrong}-{key}", translated("Low is no more than usual, and high no less."))
            return None
        return PriceLine(job, part, low, usual, high, hours, per, self.which)  # type: ignore[arg-type]

    def _usual_hours(self, job: JobKind, part: PartKind) -> float:
        """Hours of all machines, for a class that says none of its own."""
        every = self.listed.line_for(job, part) if self.listed is not None and self.which != EVERY else None
        return every.labour_h if every is not None and every.job is job else 0.0

    def _owning(self) -> Owning | None:
        typed = {name: self._read(name, name in SHARES) for name in OWNING_LABELS}
        if all(amount is None for amount in typed.values()):
            return None
        for name in ("price_new", "life_h", "hours_per_year"):
            if typed[name] is None and name not in self.errors:
                self.add_error(name, translated("It is reckoned from this. Type it, or empty the others too."))
        try:
            return None if self.errors else Owning(**{k: v for k, v in typed.items() if v is not None})
        except NotAllowedError as error:
            self.refuse(error)
            return None

    def _whole(
        self, lines: list[PriceLine], figures: Mapping[str, float | None], owning: Owning | None
    ) -> PriceList:
        typed, was, which = self.cleaned_data, self.listed, self.which
        typed_lines = {(line.job, line.part): line for line in lines}
        stood = was.lines if was is not None else ()
        kept = [typed_lines.pop((one.job, one.part), None) if one.which == which else one for one in stood]
        whole = (*(line for line in kept if line is not None), *typed_lines.values())
        own = tuple(one for one in was.figures if one.which != which) if was is not None else ()
        reckoned = tuple(one for one in was.owning if one.which != which) if was is not None else ()
        reckoned += (ClassOwning(owning, which),) if owning is not None else ()
        if which != EVERY:
            if was is None:
                raise NotAllowedError(
                    "currency", translated("no price list"), "prices of every machine first", "Enter those."
                )
            own += tuple(
                ClassFigure(name, amount, which) for name, amount in figures.items() if amount is not None
            )
            return replace(was, lines=whole, figures=own, owning=reckoned)
        stop = {name: amount for name, amount in figures.items() if name != "labour_per_h" and amount is not None}
        months = months_of(typed["busy_months"])
        tax = self._read("tax_rate", share=True)
        return PriceList(
            typed["currency"].strip().upper(),
            figures["labour_per_h"] or 0.0,
            whole,
            text_of(typed["source"], "source"),
            tax,
            StopCosts(**stop, busy_months=months) if stop or months else None,
            own,
            reckoned,
        )

    def cells(self, row_key: str) -> list[tuple[str, forms.BoundField]]:
        """The fields of a row with what stands above them in a table."""
        return [(CELLS[cell], self[f"{cell}-{row_key}"]) for cell in CELLS]

    def some(self, *names: str) -> list[forms.BoundField]:
        """Fields by name, those the form has."""
        return [self[name] for name in names if name in self.fields]

    @property
    def of_more(self) -> list[forms.BoundField]:
        """A job that has no line yet."""
        return [self["more-job"], self["more-part"], *(self[f"{cell}-more"] for cell in CELLS), self["per-more"]]

    @property
    def more_wrong(self) -> bool:
        """Whether something of it was typed and cannot be used."""
        return any(field.errors for field in self.of_more)

    @property
    def of_list(self) -> list[forms.BoundField]:
        """What is said of the whole list."""
        return self.some("currency", "tax_rate", "source")

    @property
    def of_lay_up(self) -> list[forms.BoundField]:
        """Labour, and what a lay-up costs beside its jobs."""
        return self.some(*(name for name in FIGURE_LABELS if name not in STANDING))

    @property
    def of_standing(self) -> list[forms.BoundField]:
        """What a standing hour costs."""
        return self.some(*STANDING, "busy_months")

    @property
    def of_owning(self) -> list[forms.BoundField]:
        """What a standing hour is reckoned from."""
        return self.some(*OWNING_LABELS)
