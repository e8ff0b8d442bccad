"""What rows of the ledger call kinds of entries and states of a deal: a word that ledgers hold is for ever, whatever it is called today."""

KINDS_STORED = {"spoiled": "wasted"}
STATES_STORED = {"awaiting answer": "open", "agreed": "accepted", "refused": "declined", "lapsed": "expired"}
_KINDS_TOLD = {stored: told for told, stored in KINDS_STORED.items()}
_STATES_TOLD = {stored: told for told, stored in STATES_STORED.items()}
STATE = "state"
"""The kind of entry whose word is the state of a deal."""


def to_store(kind: str, said: str) -> tuple[str, str]:
    """Kind and word of an entry as its row holds them."""
    return KINDS_STORED.get(kind, kind), STATES_STORED.get(said, said) if kind == STATE else said


def as_told(kind: str, said: str) -> tuple[str, str]:
    """Kind and word of a row as they are called today."""
    return _KINDS_TOLD.get(kind, kind), _STATES_TOLD.get(said, said) if kind == STATE else said
