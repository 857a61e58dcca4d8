"""A thing to be said is a plain value."""

import pickle

from pitchline.trade.saying import saying


def test_a_saying_goes_to_another_process_and_stays_the_same():
    told = saying("plan.close", one_h=1250.0, other_h=1500.0)
    again = pickle.loads(pickle.dumps(told))  # noqa: S301  written here
    assert (again, hash(again)) == (told, hash(told))
