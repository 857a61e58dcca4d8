"""The room of words: codes and values become sentences and labels, in the language and the way in force. Only it speaks.

A sentence stands under its code in a table of `english/`; a language is one file of translations of these (`catalogue.py`).
"""

from pitchline.words.catalogue import counted as counted
from pitchline.words.catalogue import translated as translated
from pitchline.words.labels import label as label
from pitchline.words.speaking import say as say
