"""When a notice holds, minute by minute, with datetime and nothing of ours.

In: [{"from": minute|null, "until": minute|null, "sheets": […], "at": [minute, …]}, …], minutes from 1970-01-01T00:00Z.
Out: for each whether it holds at each minute.
"""

import json
import sys
from datetime import date, datetime, timedelta

EPOCH = datetime(1970, 1, 1)


def holds(sheet, t):
    """Whether a sheet covers a moment (UTC), by looking at every day on which it could have begun."""
    local = t + timedelta(minutes=sheet["clock_min"])
    for back in range(0, 9):
        day = (local - timedelta(days=back)).date()
        if sheet["weekdays"] and day.weekday() not in sheet["weekdays"]:
            continue
        begin = datetime.combine(day, datetime.min.time()) + timedelta(minutes=sheet["begin_min"])
        last = day
        if sheet["until_weekday"] is not None:
            while last.weekday() != sheet["until_weekday"]:
                last += timedelta(days=1)
        end = datetime.combine(last, datetime.min.time()) + timedelta(minutes=sheet["end_min"])
        if end <= begin:
            end += timedelta(days=1 if sheet["until_weekday"] is None else 7)
        if begin <= local < end and in_season(sheet, local, day):
            return True
    return False


def in_season(sheet, local, day):
    season = sheet["season"]
    if season is None:
        return True
    (m1, d1), (m2, d2) = season
    for year in range(day.year - 1, day.year + 2):
        first = date(year, m1, d1)
        last = date(year + (1 if (m2, d2) < (m1, d1) else 0), m2, d2)
        begin = datetime.combine(first, datetime.min.time()) + timedelta(minutes=sheet["begin_min"])
        end = datetime.combine(last, datetime.min.time()) + timedelta(minutes=sheet["end_min"])
        if end <= begin:
            end += timedelta(days=1)
        if begin <= local < end:
            return True
    return False


def at(case, minute):
    if case["from"] is not None and minute < case["from"]:
        return False
    if case["until"] is not None and minute >= case["until"]:
        return False
    t = EPOCH + timedelta(minutes=minute)
    gives = [s for s in case["sheets"] if not s["excluded"]]
    takes = [s for s in case["sheets"] if s["excluded"]]
    return (not gives or any(holds(s, t) for s in gives)) and not any(holds(s, t) for s in takes)


json.dump([[at(c, m) for m in c["at"]] for c in json.load(sys.stdin)], sys.stdout)
