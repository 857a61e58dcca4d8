"""The tables of this app. They stand in the bridge, below every app that shares them."""

from pitchline.desk.bridge.sheet_rows import (
    LOOKED,
    NOTHING_SEEN,
    Aside,
    Entry,
    FormerReading,
    ReadingRow,
    SeenRow,
    Sheet,
)

__all__ = ["LOOKED", "NOTHING_SEEN", "Aside", "Entry", "FormerReading", "ReadingRow", "SeenRow", "Sheet"]
