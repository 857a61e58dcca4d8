"""Every sentence in English, a file for each topic: the part of a code before its dot.

A sentence is a text, or for something counted two: of one and of several, chosen by its value `n`. In braces stands a value and, behind a colon,
what kind of value it is (`speaking.py`) or a figure's form as Python writes it.
"""

from importlib import import_module

Sentence = str | tuple[str, str]


def sentence(code: str) -> Sentence:
    """The sentence of a code.

    Raises
    ------
    KeyError
        There is none.
    """
    topic, _, name = code.partition(".")
    sentences: dict[str, Sentence] = import_module(f"{__name__}.{topic}").SENTENCES
    return sentences[name]
