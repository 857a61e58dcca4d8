"""Reading the yard: a fixed number of queries, however many machines there are."""

import datetime as dt
import math
from dataclasses import dataclass, replace
from typing import cast

from django.core.paginator import Page, Paginator
from django.db.models import Count, Exists, F, Min, OuterRef, Q, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce
from django.utils import timezone

from pitchline.desk.bridge.machines import WHICH_ONE
from pitchline.desk.bridge.sheet_rows import Sheet
from pitchline.desk.machine.models import KINDS, Judgement, Machine
from pitchline.desk.people.models import Business
from pitchline.desk.people.who import prices_seen
from pitchline.desk.spoken import later
from pitchline.desk.text_search import holds, reads
from pitchline.trade.calls import Call
from pitchline.trade.errors import Problem
from pitchline.words import in_english, translated
from pitchline.words.names import named

PAGE, STRIP_PAGE = 50, 25
"""Machines on a page; a chart reads their verdicts, 12 ms each."""
STRIP = "chart"
PACE_OF, _ENOUGH, _SHORT_S = dt.timedelta(minutes=2), 3, 90
"""How far back, and from how many judgements on, it is told how long the others take."""
SORTS = {
    "due": (
        later("what falls due first"),
        (F("call_rank").desc(), F("due_middle_h").asc(nulls_last=True), "name"),
    ),
    "money": (later("cost of the work due"), (F("money_usual").desc(nulls_last=True), "name")),
    "worth": (later("worth of the running gear now"), (F("worth_usual").desc(nulls_last=True), "name")),
    "walked": (later("last walk-round, oldest first"), (F("last_walk_on").asc(nulls_first=True), "name")),
    "hours": (later("hours on the meter"), (F("hours_h").desc(nulls_last=True), "name")),
    "name": (later("name"), ("name",)),
}
UNFINISHED = in_english("with an unfinished walk-round")
CALLS = ("stop", "book", "run", "none")
CALL_LABELS = {call: later(named(Call(call) if call != "none" else Call.UNJUDGED)) for call in CALLS}
_LIST = (
    "id", "short_name", "name", "kind", "customer", "place", *WHICH_ONE, "hours_h", "last_walk_on", "call", "stake", "looked_at",
    "looked_of", "due_said",
    "due_cautious_h", "due_middle_h", "due_hopeful_h", "due_on", "money_usual", "money_low", "money_high",
    "worth_usual", "worth_low", "worth_high", "asking_amount", "asking_currency",
    "currency", "to_judge", "not_judged_because", "archived_at", "business_id", "invented", "judged_for", "judged_by",
    "carried_h",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Wanted:
    """What of the yard is looked for.

    Parameters
    ----------
    text, kind, call, customer, place : str
        Empty for all.
    sort : str
        One of `SORTS`.
    archived : bool
        Whether the archived machines are wanted, and only those.
    draft : bool
        Whether only machines with a walk-round that is not finished are wanted.
    view : str
        "list", or "chart" for a drawing of the page.
    problems : tuple of Problem
        What was asked and cannot be used; nothing is looked for then.
    """

    text: str = ""
    kind: str = ""
    call: str = ""
    customer: str = ""
    place: str = ""
    sort: str = "due"
    archived: bool = False
    draft: bool = False
    view: str = "list"
    problems: tuple[Problem, ...] = ()

    @property
    def said(self) -> str:
        """Every choice that is other than at first, in words; empty where none is."""
        told = (
            translated(dict(KINDS).get(self.kind, self.kind)),
            str(CALL_LABELS.get(self.call, "")),
            self.customer,
            self.place,
            translated("archived") if self.archived else "",
            translated(UNFINISHED) if self.draft else "",
            translated("by {order}").format(order=SORTS[self.sort][0]) if self.sort != "due" else "",
        )
        return ", ".join(one for one in told if one)

    @property
    def anything(self) -> bool:
        """Whether anything narrows the list."""
        return any((self.text, self.kind, self.call, self.customer, self.place, self.draft))


@dataclass(frozen=True, slots=True)
class CallTally:
    """One call: how it is asked for, how many machines carry it, what it asks of whoever reads, and its word."""

    call: str
    many: int
    said: str

    @property
    def label(self) -> str:
        """The call for reading."""
        return CALL_LABELS[self.call]


@dataclass(frozen=True, slots=True)
class Tally:
    """How many machines carry each call, and the money that falls due.

    Parameters
    ----------
    stop, book, run, none : int
        Machines by call; none where nothing could be judged.
    unseen : int
        Machines that have no call because they were not judged yet.
    waiting : int
        Machines whose figures are being judged, these among them.
    in_part : int
        Machines with a call of which not every part was looked at.
    money : float or None
        What falls due inside the booking windows, together [currency]; None without prices or with several currencies.
    worth : float or None
        What the running gear of all is worth now, together [currency]; None likewise.
    currency : str
        Its code.
    currencies : tuple of str
        Their codes where there are several, which cannot be added up.
    """

    stop: int
    book: int
    run: int
    none: int
    unseen: int
    waiting: int
    in_part: int
    money: float | None
    worth: float | None
    currency: str
    currencies: tuple[str, ...] = ()

    @property
    def calls(self) -> tuple[CallTally, ...]:
        """How many carry each call, the gravest first."""
        part = translated("{n} more looked at in part" if self.none else "{n} looked at in part")
        part = part.format(n=self.in_part) if self.in_part else ""
        so_far = translated("so far") if self.unseen else ""
        said = (
            ("stop", self.stop, so_far or translated("do not work them")),
            ("book", self.book, so_far or translated("book the work now")),
            ("run", self.run, so_far or translated("nothing to book yet")),
        )
        unread = (
            (
                "none",
                self.none,
                "; ".join(one for one in (translated("no call") if self.none else "", part) if one),
            ),
        )
        return tuple(CallTally(*one) for one in (*said, *(unread if self.none or part else ())))

    @property
    def all(self) -> int:
        """Every machine counted."""
        return self.stop + self.book + self.run + self.none + self.unseen

    @property
    def judged(self) -> int:
        """How many are judged as they stand."""
        return self.all - self.waiting


def left_said(business: Business, waiting: int) -> str:
    """How long the judging that is under way goes on, by the pace of its last two minutes; empty where nobody can tell yet."""
    now = timezone.now()
    made = Judgement.objects.filter(business=business, made_at__gt=now - PACE_OF).aggregate(
        many=Count("*"), first=Min("made_at")
    )
    if made["many"] < _ENOUGH:
        return ""
    left_s = waiting * (now - made["first"]).total_seconds() / made["many"]
    if left_s < _SHORT_S:
        return translated("about {seconds} s more").format(seconds=5 * math.ceil(left_s / 5))
    return translated("about {minutes} min more").format(minutes=round(left_s / 60))


def found(business: Business, wanted: Wanted) -> QuerySet[Machine]:
    """The machines looked for, in the order looked for."""
    if wanted.problems:
        return Machine.objects.none()
    machines = Machine.objects.filter(business=business, archived_at__isnull=not wanted.archived)
    if wanted.text:
        fields = ("name", "short_name", "customer", "place", "serial_number", "owner_number")
        text = Q()
        for field in fields:
            text |= holds(field, wanted.text)
        machines = machines.filter(text)
    if wanted.kind:
        machines = machines.filter(kind=wanted.kind)
    if wanted.call:
        machines = machines.filter(call="" if wanted.call == "none" else wanted.call)
    for field in ("customer", "place"):
        if getattr(wanted, field):
            machines = machines.filter(reads(field, getattr(wanted, field)))
    if wanted.draft:
        machines = machines.filter(Exists(_drafts()))
    sort = wanted.sort if wanted.sort in sorts_seen() else "due"
    return machines.only(*_LIST).order_by(*SORTS[sort][1])


def sorts_seen() -> list[str]:
    """The orders whoever asks may have: by money only where they see prices."""
    return [name for name in SORTS if prices_seen() or name not in ("money", "worth")]


def _drafts() -> QuerySet[Sheet]:
    """Unfinished walk-rounds of the machine of a row, the one last written on first."""
    drafts = Sheet.objects.filter(machine=OuterRef("pk"), state=Sheet.DRAFT)
    return drafts.order_by(Coalesce("touched_at", "created_at").desc())


def page_of(business: Business, wanted: Wanted, number: str) -> Page[Machine]:
    """One page of the list: which machines first, from narrow rows, then these machines whole."""
    machines = found(business, wanted)
    keys = Paginator(machines.values_list("pk", flat=True), STRIP_PAGE if wanted.view == STRIP else PAGE).get_page(
        number
    )
    whole = (
        machines.order_by().annotate(draft_id=Subquery(_drafts().values("pk")[:1])).in_bulk(list(keys.object_list))
    )
    paginator = cast("Paginator[Machine]", keys.paginator)
    return Page([whole[pk] for pk in keys.object_list if pk in whole], keys.number, paginator)


def tally_of(business: Business, wanted: Wanted | None = None) -> Tally:
    """The machines looked for, whatever their call, in a few figures: one query; without a question all but the archived ones."""
    whatever = replace(wanted or Wanted(), call="")
    rows = (
        found(business, whatever)
        .order_by()
        .values("call", "currency")
        .annotate(
            many=Count("*"),
            unseen=Count("to_judge", filter=Q(to_judge=True, call="")),
            waiting=Count("to_judge", filter=Q(to_judge=True)),
            in_part=Count("looked_at", filter=Q(looked_at__lt=F("looked_of")) & ~Q(call="")),
            money=Sum("money_usual"),
            worth=Sum("worth_usual"),
        )
    )
    counts = dict.fromkeys(CALLS, 0)
    waiting, unseen, in_part, currencies = 0, 0, 0, set()
    sums: dict[str, float | None] = {"money": None, "worth": None}
    for row in rows:
        counts[row["call"] or "none"] += row["many"]
        counts["none"] -= row["unseen"]
        unseen += row["unseen"]
        waiting += row["waiting"]
        in_part += row["in_part"]
        for name, here in (("money", row["money"]), ("worth", row["worth"])):
            if here is not None and row["currency"]:
                sums[name] = (sums[name] or 0.0) + here
                currencies.add(row["currency"])
    several = tuple(sorted(currencies)) if len(currencies) > 1 else ()
    one = currencies.pop() if len(currencies) == 1 else ""
    money, worth = (sums[name] if one else None for name in ("money", "worth"))
    return Tally(
        **counts,
        unseen=unseen,
        waiting=waiting,
        in_part=in_part,
        money=money,
        worth=worth,
        currency=one,
        currencies=several,
    )


def is_empty(business: Business) -> bool:
    """Whether the yard has no machine at all, not even an archived one."""
    return not Machine.objects.filter(business=business).exists()


def words_of(business: Business, field: str) -> list[str]:
    """Customers or places in use, at most 200, to choose from."""
    rows = Machine.objects.filter(business=business).exclude(**{field: ""})
    return list(rows.order_by(field).values_list(field, flat=True).distinct()[:200])
