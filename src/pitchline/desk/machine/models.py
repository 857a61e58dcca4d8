"""The tables of this app. They stand in the bridge, below every app that shares them."""

from pitchline.desk.bridge.machine_rows import KINDS, Judgement, Machine

__all__ = ["KINDS", "Judgement", "Machine"]
