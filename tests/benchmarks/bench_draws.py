"""How fast draws are, as ratios: python tests/benchmarks/bench_draws.py

array against loop   draws through arrays against the plan called as often: at least 200
twice the draws      time of 100,000 draws over that of 50,000: about 2
memory               of 100,000 draws of the largest sample: below 1 GiB
"""

from __future__ import annotations

import resource
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

from quoting.costing.model import cost
from quoting.job.load import load
from quoting.job.starters import shipped
from quoting.pick import likely
from quoting.risk.drawn import drawn

if TYPE_CHECKING:
    from collections.abc import Callable

LARGEST = Path(str(shipped("sample_jobs"))) / "tern_hollow" / "jobs" / "library_console.toml"
LEAST_RATIO, MOST_GROWTH, MOST_BYTES = 200, 2.6, 2**30


def best(act: Callable[[], object], times: int = 5) -> float:
    """The shortest of several runs [s]: what else the machine does only adds."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        act()
        found.append(time.perf_counter() - start)
    return min(found)


def main() -> int:
    """Print the ratios; 1 where one is missed."""
    brief = load(LARGEST)
    whole, half = (best(lambda n=n: drawn(brief, 1, n)) for n in (100_000, 50_000))
    loop = best(lambda: [cost(brief, likely) for _ in range(20)]) / 20 * 100_000
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    print(f"array against loop   {loop / whole:.0f} (at least {LEAST_RATIO})")
    print(
        f"twice the draws      {whole / half:.2f} (at most {MOST_GROWTH}); 100,000 draws took {whole:.2f} s"
    )
    print(f"memory               {memory / 2**20:.0f} MiB (at most {MOST_BYTES / 2**20:.0f})")
    return int(loop / whole < LEAST_RATIO or whole / half > MOST_GROWTH or memory > MOST_BYTES)


if __name__ == "__main__":
    sys.exit(main())
