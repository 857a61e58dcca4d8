"""A text to paste into an advert: what it is, how worn, what falls due, and what was not looked at. Plain text, no markup."""

from pitchline.papers import names, words
from pitchline.papers.buyer import (
    NO_PROMISE,
    age_told,
    asking_said,
    costs_told,
    not_seen_told,
    seen_told,
    sum_told,
)
from pitchline.papers.ground_answer import answer_said
from pitchline.papers.story_work import when_said
from pitchline.papers.worn_told import Worn, worn_rows
from pitchline.picture.part_words import invented
from pitchline.trade.asking import AskingPrice
from pitchline.trade.calls import Call
from pitchline.trade.units import UnitSystem
from pitchline.verdict import Job, Verdict
from pitchline.words import say, translated, worded
from pitchline.words.called import looked_said
from pitchline.words.labels import label


def advert_text(verdict: Verdict, units: UnitSystem = UnitSystem.METRIC, asking: AskingPrice | None = None) -> str:
    """What can stand in an advert, the same for the same input.

    Parameters
    ----------
    verdict : Verdict
        The machine, as judged.
    units : UnitSystem
        Metric or imperial.
    asking : AskingPrice or None
        What is asked for the machine, where the verdict was made without a price to hold it against.

    Returns
    -------
    str
        Lines of plain text, ordinary spaces, with a line break at the end.
    """
    asked = asking_said(verdict, asking)
    kind = f"{names.machine_said(verdict.machine, units)}: {', '.join(names.gear_said(verdict.gear, units))}."
    due = [job for job in verdict.jobs if job.call.asks or job.along]
    later = [job for job in verdict.jobs if job not in due]
    ground = verdict.ground_fit
    parts = [
        [
            verdict.machine.name,
            kind,
            worded("Asking price {asked}.", asked=asked) if asked else "",
            invented(verdict),
        ],
        [
            translated("RUNNING GEAR"),
            age_told(verdict),
            f"{words.first_up(looked_said(verdict.looked_at))}." * bool(verdict.looked_at),
        ],
        [say(verdict.headline)],
        [
            translated("HOW WORN (share of the wear allowance used, 100 % is the wear limit)"),
            *_worn(verdict, units),
        ],
        [
            translated("SEEN ON IT"),
            *(f"- {said}" for said in seen_told(verdict, notes=False) or [translated("nothing was noted")]),
        ]
        if verdict.walk_rounds
        else [],
        [
            worded("DUE WITHIN {verdict} OF WORK", verdict=words.window_ahead(verdict)),
            *(f"- {_job(job, verdict)}" for job in due),
        ]
        if due
        else [],
        [translated("LATER"), *(f"- {_job(job, verdict)}" for job in later)] if later else [],
        [sum_told(verdict), costs_told(verdict)],
        [translated("NOT LOOKED AT, NOT MEASURED"), *(f"- {said}" for said in not_seen_told(verdict))],
        [translated("WHERE IT CAN GO"), answer_said(ground)] if ground is not None and ground.entered else [],
        [translated(NO_PROMISE), words.working_aid()],
    ]
    told = ["\n".join(line for line in lines if line) for lines in parts]
    return "\n\n".join(lines for lines in told if lines).replace(words.GAP, " ") + "\n"


def _worn(verdict: Verdict, units: UnitSystem) -> list[str]:
    """A line for each kind of part: "- Chains: left 47 %, 2,750 h left, book: out of range; right ..."."""
    told = []
    for row in worn_rows(verdict, units):
        left, right = _side(row.left), _side(row.right)
        both = (
            worded("both sides {left}", left=left)
            if left == right
            else worded("left {left}; right {right}", left=left, right=right)
        )
        told.append(f"- {row.name(verdict)}: {both if left and right else left or right}")
    return told


def _side(worn: Worn | None) -> str:
    if worn is None:
        return ""
    call = f"{worn.which} {worn.called}".strip()
    return ", ".join(
        bit for bit in (worn.used, worn.left, call, worn.lacking) if bit and bit != label(Call.UNJUDGED)
    ) or label(Call.UNJUDGED)


def _job(job: Job, verdict: Verdict) -> str:
    what = words.first_up(names.job_said(job.kind, names.places_said(job.places, verdict.gear)))
    price = (
        worded("about {usual}", usual=words.amount(job.price.usual, job.price.currency))
        if job.price
        else translated("not priced")
    )
    return f"{what}: {when_said(job)}, {price}"
