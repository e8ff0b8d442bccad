"""Price studio furniture: take-off, cost, price, workbook and quote from plain files.

>>> import quoting
>>> bench = quoting.load("sample_jobs/tern_hollow/jobs/ash_bench.toml")
>>> bench.price().total
Decimal('4462.60')
"""

TYPE_CHECKING = False  # typing would take as long to load as all of this
if TYPE_CHECKING:
    from quoting.api import Job, Shop, check, load, shop
    from quoting.errors import Problem, Problems

__version__ = "0.3.0"
__all__ = ["Job", "Problem", "Problems", "Shop", "__version__", "check", "load", "shop"]

_HOMES = {"Problem": "quoting.errors", "Problems": "quoting.errors"}


def __getattr__(name: str) -> object:
    """What this module offers is loaded when it is first asked for: the command starts without it."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    found = globals()[name] = getattr(import_module(_HOMES.get(name, "quoting.api")), name)
    return found


def __dir__() -> list[str]:
    return sorted(__all__)
