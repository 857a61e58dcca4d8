"""The whole job for one machine in one call."""

from pitchline.judge.whole import judge

__all__ = ["judge"]
