"""How well causes are told: machines with causes planted, by the settings as shipped and by settings that are wrong.

    python bench/causes.py [machines]

Truth is drawn from a net like ours whose every prior, leak and strength is shifted in log odds; what is looked at at first is
chance. Nothing here says that real machines are so: no published set of cases with named causes was found.
"""

import sys
from collections import defaultdict

import numpy as np

from pitchline.cause.diagnosis import is_told
from pitchline.cause.nets import RUBBER, STEEL, Net
from pitchline.cause.next_look import TOGETHER, next_looks
from pitchline.cause.posterior import NOT_SEEN, SEEN, posterior

CLEAR = 1.5
"""How far apart a soft reading lies with and without its sign, in its own standard deviations."""
SOFT, MORE_LOOKS = 3, 3


def shifted(net: Net, sd: float, rng: np.random.Generator) -> Net:
    """The same net with every figure wrong."""

    def wrong(chance: float) -> float:
        return float(1 / (1 + np.exp(-(np.log(chance / (1 - chance)) + rng.normal(0, sd)))))

    return Net(
        {cause: wrong(chance) for cause, chance in net.priors.items()},
        {sign: wrong(chance) for sign, chance in net.leaks.items()},
        {cause: {sign: wrong(p) for sign, p in each.items()} for cause, each in net.strengths.items()},
    )


class Machine:
    """Causes at work on it, and which signs it shows."""

    def __init__(self, truth: Net, rng: np.random.Generator) -> None:
        self.rng = rng
        self.causes = {cause for cause, chance in truth.priors.items() if rng.random() < chance}
        self.shows = {}
        for sign, leak in truth.leaks.items():
            quiet = (1 - leak) * np.prod([1 - truth.strengths[cause].get(sign, 0.0) for cause in self.causes])
            self.shows[sign] = bool(rng.random() > quiet)

    def look(self, sign, soft: bool = False) -> float:
        """What a look at a sign brings: seen or not, or a reading's ratio."""
        if not soft:
            return SEEN if self.shows[sign] else NOT_SEEN
        x = self.rng.normal(CLEAR if self.shows[sign] else 0.0, 1.0)
        return float(np.clip(np.exp(CLEAR * x - CLEAR**2 / 2), 1 / 20, 20))


def run(net: Net, sd: float, machines: int, seed: int, looks: int) -> dict[str, object]:
    """Reliability by tenths, and how often the first cause is planted after looks as proposed and by chance."""
    rng = np.random.default_rng(seed)
    tenths = defaultdict(list)
    told, right, asked, by_advice, by_chance = 0, 0, 0, 0, 0
    for _ in range(machines):
        machine = Machine(shifted(net, sd, rng), rng)
        signs = list(net.leaks)
        rng.shuffle(signs)
        first = {sign: machine.look(sign, soft=n < SOFT) for n, sign in enumerate(signs[:looks])}
        after = posterior(net, first)
        for cause, chance in after.chances.items():
            tenths[min(int(chance * 10), 9)].append((chance, cause in machine.causes))
        if is_told(after):
            told, right = told + 1, right + (after.first in machine.causes)
        elif machine.causes:
            asked += 1
            by_advice += looked_on(net, machine, first, None) in machine.causes
            by_chance += looked_on(net, machine, first, signs[looks:]) in machine.causes
    bins = {tenth: (len(pairs), *np.mean(pairs, axis=0)) for tenth, pairs in sorted(tenths.items())}
    return {"bins": bins, "told": told, "right": right, "asked": asked, "advice": by_advice, "chance": by_chance}


def looked_on(net: Net, machine: Machine, first: dict, order: list | None):
    """The first cause after three more looks, proposed or in a given order."""
    evidence = dict(first)
    for n in range(MORE_LOOKS):
        after = posterior(net, evidence)
        if order is None:
            proposed = next_looks(net, after, frozenset(evidence), to_go=MORE_LOOKS - n)
            sign = proposed[0].sign if proposed else None
        else:
            told_by = {other: one for one, other in TOGETHER.items() if one in net.leaks and one not in evidence}
            sign = next((one for one in order if one not in evidence and one not in told_by), None)
        if sign is None:
            break
        evidence[sign] = machine.look(sign)
        pair = TOGETHER.get(sign)
        if pair in net.leaks and pair not in evidence:
            evidence[pair] = machine.look(pair)
    return posterior(net, evidence).first


def main() -> None:
    machines = int(sys.argv[1]) if len(sys.argv) > 1 else 4000
    for name, net in (("steel", STEEL), ("rubber", RUBBER)):
        for sd in (0.0, 0.7, 1.0):
            found = run(net, sd, machines, seed=16, looks=9)
            print(f"{name}, settings wrong by {sd} in log odds, {machines} machines, 9 signs looked at")
            for tenth, (n, said, true) in found["bins"].items():
                print(
                    f"  told {tenth / 10:.1f}+: {n:6d} times, said {said:.3f}, true {true:.3f}, apart {true - said:+.3f}"
                )
            print(f"  told outright {found['told']}, right {found['right']}")
            said_looks(found)
            print("  5 signs looked at:", end="")
            said_looks(run(net, sd, machines, seed=17, looks=5))


def said_looks(found: dict) -> None:
    """Three looks as proposed beside three by chance."""
    asked = max(1, found["asked"])
    advice, chance = (found[way] / asked for way in ("advice", "chance"))
    print(
        f"  not told {found['asked']}: planted cause first after looks proposed {advice:.3f}, by chance {chance:.3f}"
    )


if __name__ == "__main__":
    main()
