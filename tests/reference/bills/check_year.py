#!/usr/bin/env python3
"""Twelve monthly bills of a meter's file under config/tariffs/two-rate.yaml, reckoned apart from the program.

   check_year.py FILE ZONE   prints YEAR-MONTH COST for each month
"""
import sys
import xml.etree.ElementTree as xml
from collections import defaultdict
from datetime import datetime, timezone
from decimal import ROUND_HALF_UP, Decimal
from zoneinfo import ZoneInfo

CENT = Decimal("0.01")


def readings(path):
    if path.endswith(".xml"):
        space = "{http://naesb.org/espi}"
        end = 0
        for reading in xml.parse(path).iter(space + "IntervalReading"):
            start, length = (int(reading.find(f"{space}timePeriod/{space}{key}").text) for key in ("start", "duration"))
            if length > 0 and start >= end:  # the file's overlap and its empty reading count nothing
                yield start, length, int(reading.find(space + "value").text)
                end = start + length
    else:
        for line in open(path, encoding="utf-8"):
            if line[0].isdigit():
                start, length, *legs = line.rstrip().split(",")[:4]
                at = datetime.fromisoformat(start.replace("Z", "+00:00"))
                yield int(at.timestamp()), int(length), sum(Decimal(leg) for leg in legs)


zone = ZoneInfo(sys.argv[2])
energy = defaultdict(lambda: {"low": Decimal(0), "high": Decimal(0)})
for start, length, watt_hours in readings(sys.argv[1]):
    for part in range(0, length, 900):  # no price changes within a quarter of an hour
        at = datetime.fromtimestamp(start + part, timezone.utc).astimezone(zone)
        price = "low" if at.hour >= 22 or at.hour < 6 else "high"
        energy[f"{at:%Y-%m}"][price] += Decimal(watt_hours) * min(900, length - part) / length / 1000
for month, used in sorted(energy.items()):
    lines = [(used["low"] * Decimal("0.079")).quantize(CENT, ROUND_HALF_UP),
             (used["high"] * Decimal("0.158")).quantize(CENT, ROUND_HALF_UP)]
    tax = (sum(lines) * Decimal("0.05")).quantize(CENT, ROUND_HALF_UP)
    print(month, sum(lines) + tax)
