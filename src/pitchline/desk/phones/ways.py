"""By which ways a phone can reach a desk, and what works by each: held by tests/browser/test_phones.py."""

from dataclasses import dataclass

from pitchline.words import in_english


@dataclass(frozen=True, slots=True)
class Way:
    """One way.

    Parameters
    ----------
    name : str
        What it is.
    opens : bool
        Whether pages open.
    is_safe : bool
        Whether the browser counts it as safe: only then it lets a page keep itself for a place without a signal.
    asks : str
        What the phone, or whoever sets it up, is asked.
    """

    name: str
    opens: bool
    is_safe: bool
    asks: str


WAYS = (
    Way(
        in_english("This desk's own certificate, trusted by the phone"), True, True,
        in_english("Once: to install the desk's certificate and to trust it."),
    ),
    Way(
        in_english("The same, without trust: the warning tapped away"), True, False,
        in_english("A warning, which may come back; nothing is kept for a place without a signal."),
    ),
    Way(
        in_english("A hosted desk, or a proxy, with a certificate everybody trusts"), True, True,
        in_english("Nothing of the phone; somebody has to run it."),
    ),
    Way(
        in_english("An address without https on this network"), False, False,
        in_english("The desk does not offer it: who listens on the network could read along."),
    ),
)  # fmt: skip
