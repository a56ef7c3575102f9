"""How long a log of a million rows takes to read and to judge, and the memory it needs.

Run ``python tests/benchmarks/log.py``.  Each kind of log is read in a process of its own, so that
the peak of one is not hidden by another; the peak includes Python and the libraries.
"""

import datetime
import resource
import subprocess
import sys
import time

ROWS = 1_000_000


def rows(kind):
    """Return the bytes of an invented log, one reading a second."""
    start = datetime.datetime(2026, 5, 10)
    made = []
    for second in range(ROWS):
        celsius = 20 + 540 * min(second / 400_000, 1) + second % 7 * 0.1
        if kind == "stamps":
            made.append(f"{start + datetime.timedelta(seconds=second)};{celsius:.1f}".replace(".", ","))
        elif kind == "day month":
            made.append(f"{start + datetime.timedelta(seconds=second):%d.%m.%Y %H:%M:%S}\t{celsius:.1f}")
        elif kind == "clock":
            made.append(f"{start + datetime.timedelta(seconds=second):%H:%M:%S},{celsius:.1f},{celsius + 2:.1f}")
        else:
            made.append(f"{second},{celsius:.2f}")
        if second % 5000 == 17:
            made[-1] = made[-1][:-3] + "n/a"
    heading = {"seconds": "s,°C\n", "clock": "time,kiln °C,set °C\n"}.get(kind, "")
    return (heading + "\n".join(made)).encode()


def measure(kind):
    """Print seconds and peak memory for one kind of log."""
    from labkit.heat.log import heat_report
    from labkit.heat.logfile import read_log

    read_log("min;°C\n0;20\n1;30")  # what is worked out once
    data = sys.stdin.buffer.read()
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    start = time.perf_counter()
    log = read_log(data)
    read = time.perf_counter() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    start = time.perf_counter()
    heat_report(log)
    report = time.perf_counter() - start
    print(f"{kind:10} {log.counts['rows']} rows, {log.counts['skipped']} left out: read {read:.2f} s, report {report:.2f} s, "
          f"peak {peak:.0f} MB ({before:.0f} MB before)")  # fmt: skip


if __name__ == "__main__":
    if len(sys.argv) > 1:
        measure(sys.argv[1])
    else:
        for each in ("stamps", "day month", "clock", "seconds"):
            subprocess.run([sys.executable, __file__, each], input=rows(each), check=True)
