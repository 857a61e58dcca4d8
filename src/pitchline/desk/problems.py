"""What an error tells, for a page that shows every problem at once."""

from pitchline.trade.errors import InputError, NotAllowedError, Problem


def problems_of(error: InputError | NotAllowedError) -> tuple[Problem, ...]:
    """Everything an error tells."""
    return error.problems if isinstance(error, InputError) else (error.problem,)
