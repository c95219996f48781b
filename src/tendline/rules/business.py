"""Owns counting days as laws do: calendar days and business days after a day.

Does not own which days are holidays: they are handed in.
"""

from datetime import date, timedelta

_DAY = timedelta(days=1)
_SATURDAY = 5


def days_after(day: date, number: int) -> date:
    """Give the last of so many calendar days after a day, which itself is not counted."""
    return day + number * _DAY


def business_days_after(day: date, number: int, *, holidays: frozenset[date] = frozenset()) -> date:
    """Give the last of so many business days after a day, which itself is not counted.

    Parameters
    ----------
    day
        The day counted from.
    number
        1 or more.
    holidays
        Days that are no business days, beside Saturdays and Sundays. With none given the answer is the
        earliest it can be, and so never looser than the law.
    """
    left = number
    while left:
        day += _DAY
        if day.weekday() < _SATURDAY and day not in holidays:
            left -= 1
    return day
