"""Which words of a paper have a page in the desk's primer."""

from pitchline.verdict import Verdict
from pitchline.words import worded
from pitchline.words.labels import label, plural


def primer_said(verdict: Verdict) -> str:
    """Parts, things seen and jobs that a verdict asks work for, as the desk's primer calls them; empty where it asks for none."""
    asking = [part for part in verdict.parts if part.call.asks]
    words = dict.fromkeys(
        [
            *(plural(part.place.part) for part in asking),
            *(label(one.kind) for part in asking for one in part.findings),
            *(label(job.kind) for job in verdict.jobs),
        ]
    )
    return worded("Each in the desk's primer, with drawings: {words}.", words="; ".join(words)) if words else ""
