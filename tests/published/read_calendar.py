"""Reads a calendar file, and finds due dates, with libraries that are not ours.

`read_calendar.py FILE` prints the events of a calendar file as the package icalendar (BSD licence) reads them, RFC 5545.
`read_calendar.py --days SEED` prints moments of handing over and the days that are due after them, as python-dateutil and the time zone
database (zoneinfo, tzdata) have it: months by `relativedelta`, the day of a moment by the zone's own clock.
"""

import json
import random
import sys
from datetime import date, datetime, timedelta, timezone
from functools import cache
from zoneinfo import ZoneInfo

from dateutil.relativedelta import relativedelta
from icalendar import Calendar

ZONES = ["Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu", "Pacific/Apia", "America/St_Johns"]


def events(path):
    with open(path, "rb") as file:
        calendar = Calendar.from_ical(file.read())
    found = []
    for event in calendar.walk("VEVENT"):
        day = event.decoded("DTSTART")
        assert type(day) is date, "a whole day, and no moment"
        found.append({
            "day": day.isoformat(), "summary": str(event["SUMMARY"]), "uid": str(event["UID"]), "text": str(event["DESCRIPTION"]),
            "errors": [str(error) for error in event.errors],
        })
    assert calendar["VERSION"] == "2.0" and calendar["PRODID"]
    return found


@cache
def changes_of(year, zone):
    begin = datetime(year, 1, 1, tzinfo=timezone.utc)
    hours = [begin + timedelta(hours=hour) for hour in range(0, 366 * 24, 6)]
    changes = [after for before, after in zip(hours, hours[1:])
               if before.astimezone(zone).utcoffset() != after.astimezone(zone).utcoffset()]
    return hours, changes


def near_a_change(chosen, zone):
    """A moment at most a day and a half from a change of the clocks, where the zone has one in that year."""
    hours, changes = changes_of(chosen.randint(2024, 2034), zone)
    around = chosen.choice(changes) if changes else chosen.choice(hours)
    return around + timedelta(minutes=chosen.randint(-36 * 60, 36 * 60))


def cases(seed):
    chosen = random.Random(seed)
    found = []
    for _ in range(600):
        zone = ZoneInfo(chosen.choice(ZONES))
        moment = near_a_change(chosen, zone).astimezone(zone)
        if chosen.random() < 0.4:
            end = (moment.replace(day=1, hour=23, minute=50) + relativedelta(months=1)).date() - timedelta(days=1)
            moment = moment.replace(year=end.year, month=end.month, day=end.day)
        days, months = (chosen.randint(1, 3660), None) if chosen.random() < 0.5 else (None, chosen.randint(1, 120))
        after = relativedelta(days=days) if days else relativedelta(months=months)
        found.append({
            "time": moment.isoformat(timespec="milliseconds"), "days": days, "months": months, "due": (moment.date() + after).isoformat(),
        })
    return found


if sys.argv[1] == "--days":
    print(json.dumps(cases(int(sys.argv[2]))))
else:
    print(json.dumps(events(sys.argv[1])))
