"""A language is one file: a made-up one says everything, figures and typed words as they are."""

import ast
import re
from pathlib import Path

from translations import SRC, sentences

import made_up
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.saying import saying
from pitchline.trade.writing import Writing, writing
from pitchline.words import counted, say, translated


def test_a_sentence_is_said_in_the_language_in_force_with_its_values_told_too(tmp_path: Path) -> None:
    """Place, job and figure are told inside it; the figure keeps the way of the business."""
    told = saying("plan.close", one_h=1250.0, other_h=1500.0)
    jobs = saying(
        "plan.job_at", job="turn", places=[Place(PartKind.BUSH, Side.LEFT), Place(PartKind.BUSH, Side.RIGHT)]
    )
    assert say(told).startswith("The lay-ups at 1,250 and 1,500 h lie close")
    with made_up.spoken(tmp_path):
        assert "1,250" in say(told)
        assert say(told).startswith(made_up.cyrillic("The lay-ups at"))
        assert made_up.plain_words(say(jobs)) == []


def test_what_is_not_translated_is_said_in_english(tmp_path: Path) -> None:
    """A language may be half done: nothing is lost, and no error is shown."""
    with made_up.spoken(tmp_path):
        assert translated("nobody ever said this") == "nobody ever said this"
        assert counted("one thing nobody said", "{n} things nobody said", 2) == "{n} things nobody said"
    with writing(Writing(language="no-such")):
        assert say(saying("plan.close_at_once")).startswith("What must not work on")


def test_every_code_of_the_core_has_a_sentence_and_every_sentence_is_said() -> None:
    """Neither a code without words nor words nobody says; a code made of parts is held to what its parts allow."""
    known = {where.removeprefix("words/english/").replace(".py: ", ".") for _, where in sentences()}
    topics = {code.split(".")[0] for code in known}
    fixed, patterns = set(), set()
    for file in SRC.rglob("*.py"):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        inside = {id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in node.values}
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr):
                patterns.add(
                    "".join(
                        re.escape(one.value) if isinstance(one, ast.Constant) else r"\w+" for one in node.values
                    )
                )
            elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in inside:
                fixed.add(node.value)
    code = re.compile(r"[a-z_]+\.[a-z_0-9]*[a-z0-9]")  # what ends in a low line is the beginning of several
    codes = {text for text in fixed if code.fullmatch(text) and text.split(".")[0] in topics}
    made = [pattern for pattern in patterns if pattern.split(r"\.")[0] in topics]
    assert codes - known == set()
    assert {code for code in known - codes if not any(re.fullmatch(one, code) for one in made)} == set()
    assert [one for one in made if not any(re.fullmatch(one, code) for code in known)] == []
