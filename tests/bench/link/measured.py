"""Wall clock, processor time and peak memory of a stretch of a process, and the JSON that says them."""

import json
import resource
import time


class Measured:
    """`with Measured() as took:` measures what stands under it."""

    def __enter__(self):
        self.start, self.before = time.perf_counter(), processor_seconds()
        return self

    def __exit__(self, *_):
        self.wall_s = time.perf_counter() - self.start
        self.cpu_s = processor_seconds() - self.before
        self.peak_mib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def processor_seconds():
    used = resource.getrusage(resource.RUSAGE_SELF)
    return used.ru_utime + used.ru_stime


def say(took, **further):
    """Prints what was measured, for the script that started this one."""
    print(json.dumps({"wall_s": took.wall_s, "cpu_s": took.cpu_s, "peak_mib": took.peak_mib, **further}))
