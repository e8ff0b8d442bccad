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
