#!/usr/bin/env python3
"""How long lullwattd takes from exec to READY with a ledger of ten years, and what it then holds resident.

    tests/bench/ready_bench.py BUILD [STARTS]      BUILD: a build folder with daemon/lullwattd, as build/release

Ten years of two points and one metered node: two minutes' rows a minute, a clock reading a quarter of an hour, two
sessions a day and forty offers a night and point. The rows hold what such rows hold in size and number; their chain is
not made, for no start reads it. A calibration line says how long this machine takes to start /bin/true.
"""
import os
import socket
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time

YEARS = 10
END = 1792530000  # 2026-10-20T21:00Z
MINUTES = YEARS * 365 * 1440

ROWS = f"""
INSERT OR IGNORE INTO names(name) VALUES ('service'), ('left point'), ('right point');
WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i < {MINUTES} - 1)
INSERT INTO minutes SELECT {END} - 60 * ({MINUTES} - i), (SELECT id FROM names WHERE name = 'service'), leg, 0,
  12000 + i % 7000, 20000 + i % 9000, 4000 + i % 3000 FROM n, (SELECT 0 AS leg UNION ALL SELECT 1);
WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i < {YEARS * 365} - 1)
INSERT INTO transactions(point, car, token, at, proven, value) SELECT names.id, 'Heron', '',
  {END} - 86400 * ({YEARS * 365} - i), 1, i * 18600 FROM n, names WHERE names.name LIKE '% point';
INSERT INTO stops SELECT id, at + 43200, 1, value + 18600, 'unplugged' FROM transactions;
WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i < 50)
INSERT OR IGNORE INTO readings(point, transaction_id, at, proven, mark, value)
  SELECT point, id, at + 900 * i, 1, 2, value + 364 * i FROM transactions, n;
WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i < 39)
INSERT INTO events(at, proven, source, kind, text) SELECT at + 900 * i, 1, names.name, 'offered', '16 A: as planned'
  FROM transactions t JOIN names ON names.id = t.point, n;
INSERT INTO sessions(transaction_id, at, until, evidence, energy, uncertain, uncounted, resets, rollovers, breaks,
  dropped, currency, digits, zone_data, readings)
  SELECT id, at, at + 43200, 0, 18600, 0, 0, 0, 0, 0, 0, 'CAD', 2, '2026b', x'00' FROM transactions;
"""


def start(build, folder, site):
    """Seconds from exec to READY, and the resident kilobytes a second later."""
    told = os.path.join(folder, "notify")
    if os.path.exists(told):
        os.unlink(told)
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as notify:
        notify.bind(told)
        notify.settimeout(60)
        begin = time.monotonic()
        daemon = subprocess.Popen(
            [os.path.join(build, "daemon/lullwattd"), "--site", site, "--state", folder, "--socket",
             os.path.join(folder, "socket"), "--synchronized", site],
            env={**os.environ, "NOTIFY_SOCKET": told}, stderr=subprocess.PIPE)
        try:
            while b"READY=1" not in notify.recv(4096):
                pass
            ready = time.monotonic() - begin
            time.sleep(1)
            with open(f"/proc/{daemon.pid}/status", encoding="ascii") as status:
                resident = next(int(line.split()[1]) for line in status if line.startswith("VmRSS"))
        finally:
            daemon.terminate()
            daemon.communicate()
        return ready, resident


def main():
    build = sys.argv[1]
    starts = int(sys.argv[2]) if len(sys.argv) > 2 else 20
    site = os.path.join(os.path.dirname(__file__), "../../config/harbour-row-9/site.yaml")
    calibration = []
    for _ in range(starts):
        begin = time.monotonic()
        subprocess.run(["/bin/true"], check=True)
        calibration.append(time.monotonic() - begin)
    print(f"calibration: /bin/true {statistics.median(calibration) * 1000:.1f} ms")
    with tempfile.TemporaryDirectory() as folder:
        for name in ("an empty ledger", "a ledger of ten years"):
            times = [start(build, folder, site) for _ in range(starts)]
            ready = sorted(one[0] * 1000 for one in times)
            print(f"{name}: READY after {statistics.median(ready):.0f} ms, at most {ready[-1]:.0f} ms; "
                  f"{max(one[1] for one in times) / 1024:.1f} MB resident a second later")
            if name == "an empty ledger":
                with sqlite3.connect(os.path.join(folder, "ledger.sqlite")) as ledger:
                    ledger.executescript(ROWS)
        size = os.path.getsize(os.path.join(folder, "ledger.sqlite"))
        print(f"its file: {size / 1e6:.0f} MB")


if __name__ == "__main__":
    main()
