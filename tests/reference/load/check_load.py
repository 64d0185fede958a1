#!/usr/bin/env python3
"""Forecast and worst load of a meter history, reckoned anew from its file with exact fractions.

Shares no code with the C++: the judge of tests/reference/load/load_test.cpp.
  check_load.py HISTORY ZONE VOLTS legs|total QUANTILE HOLIDAY,... DATE...
Prints 'W hour L1 L2' and, for each quarter hour of each DATE's calendar day, 'F instant L1 L2', in amperes.
"""
import sys
from collections import defaultdict
from datetime import date, datetime, timedelta, timezone
from fractions import Fraction
from math import ceil
from zoneinfo import ZoneInfo

file, zone, volts, split, quantile, holidays = sys.argv[1:7]
zone, volts, quantile = ZoneInfo(zone), Fraction(volts), Fraction(quantile)
holidays = {date.fromisoformat(day) for day in holidays.split(",")}
days = [date.fromisoformat(day) for day in sys.argv[7:]]


def resting(day):
    return day.weekday() >= 5 or day in holidays


def same_day(day, year):
    return date(year, 2, 28) if (day.month, day.day) == (2, 29) else day.replace(year=year)


readings = []  # (instant, local time, [amperes per leg])
by_quarter = defaultdict(list)
for line in open(file):
    if not line[0].isdigit():
        continue
    start, seconds, *energies = line.strip().split(",")
    assert seconds == "900" and len(energies) == 2
    energies = [Fraction(energy) for energy in energies]
    if split == "total":
        energies = [sum(energies) * Fraction("0.65")] * 2
    instant = datetime.fromisoformat(start.replace("Z", "+00:00"))
    local = instant.astimezone(zone)
    readings.append((instant, local, [energy * 4 / volts for energy in energies]))
    by_quarter[local.hour, local.minute].append((local.date(), readings[-1][2]))

worst = defaultdict(lambda: [Fraction(0)] * 2)
for instant, local, amps in readings:
    if instant >= readings[-1][0] + timedelta(minutes=15) - timedelta(days=365):
        worst[local.hour] = [max(pair) for pair in zip(worst[local.hour], [a * Fraction("1.25") for a in amps])]
for hour in range(24):
    print("W", hour, *[float(a) for a in worst[hour]])

for day in days:
    at = datetime.combine(day, datetime.min.time(), zone).astimezone(timezone.utc)
    while at.astimezone(zone).date() == day:
        local = at.astimezone(zone)
        like = [amps for then, amps in by_quarter[local.hour, local.minute] if resting(then) == resting(day)
                and min(abs((then - same_day(day, then.year + y)).days) for y in (-1, 0, 1)) <= 28]
        assert len(like) >= 10, "this script knows no wider season"
        rank = ceil(quantile * len(like))
        print("F", int(at.timestamp()), *[float(sorted(amps[leg] for amps in like)[rank - 1]) for leg in (0, 1)])
        at += timedelta(minutes=15)
