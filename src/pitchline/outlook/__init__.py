"""Life used over hours becomes hours left, as a distribution."""
