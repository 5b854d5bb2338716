"""In which measure a column counts hours and ages: its values say so where its heading does not."""

import re
from collections.abc import Callable
from functools import partial

from pricing.basis.problems import Problem
from pricing.ingest.sheet import Sheet

_CLOCK = re.compile(r"^(\d{1,2}):(\d{2})(?::\d{2})?(?:\s?[ap]\.?m\.?)?$", re.IGNORECASE)
_NUMBER = re.compile(r"^\d*[.,]?\d+$")
_DAY = 24 * 12  # five-minute steps of a day
_FEW = 5  # values that show nothing of a column


def _work_in_words(sheet: Sheet) -> Problem | None:
    """Minutes or hours under a heading like "Work" that usually says what was done."""
    place = sheet.place("repair")
    texts = sheet.texts(place) if place is not None else []
    if place is None or not texts:
        return None
    if sum(bool(_NUMBER.match(text)) for text in texts) < 0.8 * len(texts):
        return None
    unit = sheet.headings[place].unit
    if not unit and all(text.isdecimal() for text in texts):
        large = sorted(map(int, texts))[len(texts) // 3] > 12
        unit = "minutes" if large else ""
    if unit == "minutes" and not sheet.has("repair_min"):
        return sheet.take(place, "repair_min", "holds numbers", unit)
    if unit == "hours" and not sheet.has("hours"):
        return sheet.take(place, "hours", "holds numbers", unit)
    return sheet.take(place, "", f"holds numbers ({texts[0]}), not what was done")


def _clock_times(sheet: Sheet) -> Problem | None:
    """The time of day under "Time": work of fourteen and a half hours on unit after unit."""
    place = sheet.place("hours")
    if place is None:
        return None
    times = [match for text in sheet.texts(place) if (match := _CLOCK.match(text))]
    late = [match for match in times if int(match[1]) >= 9 or match[0][-1:] in "mM."]
    if not times or len(times) < 0.8 * len(sheet.texts(place)) or len(late) < 0.5 * len(times):
        return None
    return sheet.take(place, "", f"holds times of day ({times[0][0]}), not hours of work")


def _parts_of_a_day(sheet: Sheet) -> Problem | None:
    """Durations as programs store them, 0.0625 for 1:30: whole five minutes of a day."""
    place = sheet.place("hours")
    texts = sheet.texts(place) if place is not None else []
    if place is None or len(texts) < 3 or sheet.headings[place].unit == "minutes":
        return None
    try:
        numbers = [float(text.replace(",", ".")) for text in texts]
    except ValueError:
        return None
    steps = [number * _DAY for number in numbers]
    fine = [
        number
        for number, text in zip(numbers, texts, strict=True)
        if len(re.sub(r"^\d*[.,]", "", text).rstrip("0")) > 3
    ]
    if max(numbers) >= 1 or len(fine) < 0.3 * len(texts):
        return None
    if any(abs(step - round(step)) > 0.02 for step in steps):
        return None
    return sheet.take(place, "hours", f"holds parts of a day ({texts[0]} is read × 24)", "days")


def _whole_numbers_above(
    sheet: Sheet, column: str, bound: int, unit: str, said: str
) -> Problem | None:
    """Whole numbers mostly too large for the heading's measure: of the next smaller one."""
    place = sheet.place(column)
    texts = sheet.texts(place) if place is not None else []
    if place is None or len(texts) < _FEW or sheet.headings[place].unit:
        return None
    if not all(text.isdecimal() and len(text) < 4 for text in texts):
        return None
    if sorted(map(int, texts))[len(texts) // 3] <= bound:
        return None
    return sheet.take(place, column, f"holds numbers like {max(texts, key=int)}: {said}", unit)


def _hours_and_minutes(sheet: Sheet) -> Problem | None:
    """1.30 for an hour and a half: two places, none of sixty or more, halves written .30."""
    place = sheet.place("hours")
    texts = sheet.texts(place) if place is not None else []
    if place is None or len(texts) < _FEW or sheet.headings[place].unit:
        return None
    found = [re.fullmatch(r"\d+[.,](\d\d)", text) for text in texts]
    ends = [match[1] for match in found if match]
    if len(ends) < len(texts) or max(ends) > "59" or not {"15", "30", "45"} & {*ends}:
        return None
    if sum(end in ("00", "15", "30", "45") for end in ends) < 0.8 * len(ends):
        return None
    why = f"is written like {texts[0]}: {texts[0]} is hours and minutes"
    return sheet.take(place, "hours", why, "h.mm")


CHECKS: tuple[Callable[[Sheet], Problem | None], ...] = (
    _work_in_words,
    _clock_times,
    _parts_of_a_day,
    partial(_whole_numbers_above, column="hours", bound=12, unit="minutes", said="minutes"),
    partial(_whole_numbers_above, column="age", bound=24, unit="months", said="months"),
    _hours_and_minutes,
)
