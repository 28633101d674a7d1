"""Going on with the next thing where one can't be made."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from scye.expand.collector import Collector
from scye.expand.frames import Enough, Stop, Unknowable


@contextmanager
def noted(collector: Collector) -> Iterator[None]:
    """Leave the rest of the block where one thing can't be made; its reason is noted, or noted now."""
    try:
        yield
    except Enough:
        raise
    except Stop:
        pass
    except Unknowable as reason:
        collector.found.append(collector.not_known(reason))
