"""The commands: arguments, one call into `runs`, print, exit status."""

from quoting.cli import (
    ask_command,
    care_commands,
    cut_command,
    deciding_commands,
    explain_command,
    ledger_commands,
    log_command,
    pricing_commands,
    review_commands,
)
from quoting.cli.app import app

ORDER = (
    "start", "ask", "convert", "check", "price", "quote", "explain", "rates", "cut", "calendar", "pictures", "risk", "reach", "compare",
    "sell", "issue", "show", "mark", "change", "log", "daysheet", "pieces", "standing", "review", "learn", "backup",
)  # fmt: skip
"""As a maker meets them: a first job, decisions, the quote, the build, afterwards."""

app.registered_commands.sort(key=lambda one: ORDER.index(one.name or getattr(one.callback, "__name__", "")))

__all__ = [
    "app",
    "ask_command",
    "care_commands",
    "cut_command",
    "deciding_commands",
    "explain_command",
    "ledger_commands",
    "log_command",
    "pricing_commands",
    "review_commands",
]
