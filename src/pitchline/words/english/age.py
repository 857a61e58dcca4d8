"""How old readings are, and what standing does."""

from pitchline.words.english import Sentence

_STANDING = (
    "Long standing dries out seals, which leak once it moves, and leaves {} and flat spots on rollers: look for these before its "
    "first hour and after its first day (common practice, no source)."
)
SENTENCES: dict[str, Sentence] = {
    "days": ("{n} day", "{n} days"),
    "weeks": ("{n} week", "{n} weeks"),
    "ago": "read {time} ago",
    "hours_unknown": "{ago}; hours since are not known",
    "carried_on": "{ago}, carried on {carried_h} h",
    "go_round_before_ordering": "Go round it before anything is ordered: {old}. What is seen by eye, such as loose bolts, cracks, "
    "leaks and slack, is as old as that.",
    "hardly_worked": "It hardly worked for {weeks} weeks before its last walk-round. {look}",
    "may_have_stood": "It may have stood for most of these {weeks} weeks. {look}",
    "long_standing_rubber": _STANDING.format("aged, cracked rubber"),
    "long_standing_steel": _STANDING.format("joints rusted stiff"),
    "read_on_the_day": "read on the walk-round of {day:day}",
    "read_and_carried_on": "read on the walk-round of {day:day}, carried on by {week_h:g} h a week to {until:day}",
    "read_not_carried_on": "read on the walk-round of {day:day}; not carried on, because no hours a week are entered",
    "worked_on_on_the_day": "written down with the work of {day:day}",
    "worked_on_and_carried_on": "written down with the work of {day:day}, carried on by {week_h:g} h a week to {until:day}",
    "worked_on_not_carried_on": "written down with the work of {day:day}; not carried on, because no hours a week are entered",
    "seen_on_the_day": "as its meter showed on {day:day}",
    "seen_and_carried_on": "as its meter showed on {day:day}, carried on by {week_h:g} h a week to {until:day}",
    "seen_not_carried_on": "as its meter showed on {day:day}; not carried on, because no hours a week are entered",
    "not_gone_round": "not gone round yet",
}
