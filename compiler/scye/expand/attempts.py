"""Going on with the next thing where one can't be made."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from scye.diagnostics.expansion import NotKnownYet
from scye.diagnostics.model import Diagnostic
from scye.expand.frames import Enough, Stop, Unknowable


@contextmanager
def noted(found: list[Diagnostic]) -> Iterator[None]:
    """Leave the rest of the block where one thing can't be made; its reason is noted, or noted now."""
    try:
        yield
    except Enough:
        raise
    except Stop:
        pass
    except Unknowable as reason:
        found.append(NotKnownYet(span=reason.span, what=reason.what))
