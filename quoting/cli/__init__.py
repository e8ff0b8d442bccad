"""The commands: arguments, one call into `runs`, what it found in words or as data, exit status."""

import quoting.cli.ask
import quoting.cli.buying
import quoting.cli.compare
import quoting.cli.cut
import quoting.cli.explain
import quoting.cli.issue
import quoting.cli.learn
import quoting.cli.ledger
import quoting.cli.log
import quoting.cli.price
import quoting.cli.prices
import quoting.cli.rates
import quoting.cli.reach
import quoting.cli.review
import quoting.cli.risk
import quoting.cli.sell
import quoting.cli.standing
import quoting.cli.start
import quoting.cli.today  # noqa: F401 each hangs its commands into the app
from quoting.cli.app import app

ORDER = (
    "start", "ask", "convert", "check", "price", "quote", "explain", "rates", "cut", "calendar", "pictures", "risk", "reach", "compare",
    "sell", "issue", "show", "mark", "change", "log", "today", "buying", "daysheet", "prices", "pieces", "standing", "review", "learn", "backup",
)  # fmt: skip
"""As a maker meets them: a first job, decisions, the quote, the build, afterwards."""

app.registered_commands.sort(key=lambda one: ORDER.index(one.name or getattr(one.callback, "__name__", "")))

__all__ = ["app"]
