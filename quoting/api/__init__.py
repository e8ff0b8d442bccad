"""The tool from Python: a job and its answers, a shop and its pieces. `import quoting` brings it when it is first asked for."""

from quoting.api.jobs import Job, check, load
from quoting.api.shops import Shop, shop

__all__ = ["Job", "Shop", "check", "load", "shop"]
