#!/usr/bin/env python3
"""Reads calendars of this program with the Python library icalendar, and says what it sees.

    python3 tests/reference/icalendar.py FILE.ics...
    mealtide plan SESSION --ics | python3 tests/reference/icalendar.py -

Exit code 0: every file is read without an error; 1: a fault; 77: the library is not installed, nothing was checked.
The library validates little (it lets a missing DTSTAMP or bare line feeds through), so those are checked here too.
"""

import sys

# This file has the library's name: don't import it from beside itself.
sys.path = [p for p in sys.path if p and not p.endswith("reference")]

try:
    import icalendar
except ImportError:
    print("not checked: the Python library icalendar is not installed (pip install icalendar)")
    sys.exit(77)


def faults_of(raw):
    faults = []
    if b"\n" in raw.replace(b"\r\n", b""):
        faults.append("a bare line feed")
    faults += [f"a line of {len(line)} octets" for line in raw.split(b"\r\n") if len(line) > 75]
    calendar = icalendar.Calendar.from_ical(raw)
    for name in ("PRODID", "VERSION"):
        if name not in calendar:
            faults.append(f"no {name}")
    events = calendar.walk("VEVENT")
    if not events:
        faults.append("no event")
    uids = [str(event.get("UID")) for event in events]
    if len(set(uids)) != len(uids):
        faults.append("a UID twice")
    for event in events:
        faults += [f"{event.get('UID')}: {error}" for error in event.errors]
        faults += [f"{event.get('UID')}: no {name}" for name in ("UID", "DTSTAMP", "DTSTART", "SUMMARY") if name not in event]
        if event.decoded("DTEND") < event.decoded("DTSTART"):
            faults.append(f"{event.get('UID')}: ends before it starts")
        for alarm in event.walk("VALARM"):
            faults += [f"{event.get('UID')}: alarm without {n}" for n in ("ACTION", "TRIGGER", "DESCRIPTION") if n not in alarm]
            faults += [f"{event.get('UID')}: {error}" for error in alarm.errors]
    return faults, len(events), sum(len(event.walk("VALARM")) for event in events)


def main(names):
    worst = 0
    for name in names or ["-"]:
        raw = sys.stdin.buffer.read() if name == "-" else open(name, "rb").read()
        faults, events, alarms = faults_of(raw)
        print(f"{name}: {events} events, {alarms} alarms, {len(faults)} faults (icalendar {icalendar.__version__})")
        for fault in faults:
            print(f"  {fault}")
        worst = max(worst, 1 if faults else 0)
    return worst


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
