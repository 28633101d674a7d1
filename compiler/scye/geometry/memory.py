"""What was worked out from certain figures is not worked out from the same ones again.

What is remembered depends on figures alone and comes out the same to the bit whatever stands beside it, so
an answer may be remembered in place of being worked out. That is done only within `remembering`, for whoever
drafts one body again and again for little changes: for whole batches it would cost more than it saves.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import fields, is_dataclass
from functools import wraps
from typing import Any, TypeVar, cast

import numpy as np

Item = TypeVar("Item")
Answer = TypeVar("Answer")

RUNS = 4  # for how many runs an answer is kept that nobody asks for
MOST_SEEN = 8192  # things whose keys are kept, with the things themselves


class Memory:
    """Answers of the last few runs, by what was asked."""

    def __init__(self) -> None:
        self._runs: list[dict[Hashable, Any]] = [{}]
        self._seen: dict[tuple[Hashable, int], tuple[Any, Hashable]] = {}

    def new_run(self) -> None:
        """A run begins: what was not asked for in the last few of them is forgotten."""
        self._runs = [{}, *self._runs[: RUNS - 1]]

    def of_thing(self, thing: Any, key: Callable[[Any], Hashable]) -> Hashable:
        """The key of a thing that mostly comes again as the very same object: worked out the first time."""
        place = key, id(thing)
        seen = self._seen.get(place)
        if seen is None:
            if len(self._seen) >= MOST_SEEN:
                self._seen.clear()
            seen = self._seen[place] = thing, key(thing)
        return seen[1]

    def each(
        self,
        about: Hashable,
        items: Sequence[Item],
        keys: Sequence[Hashable],
        work: Callable[[Sequence[Item]], Sequence[Answer]],
    ) -> list[Answer]:
        """The answers for some items; `work` is asked for those not known, all of them together. An item is
        kept with its answer, so that what a key says of it by its `id` stays true."""
        asked = [(about, key) for key in keys]
        new = {key: item for key, item in zip(asked, items, strict=True) if not self._known(key)}
        if new:
            answers = zip(new.values(), work(list(new.values())), strict=True)
            self._runs[0].update(zip(new, answers, strict=True))
        return [self._runs[0][key][1] for key in asked]

    def _known(self, key: Hashable) -> bool:
        """Whether an answer is there; if so it is at hand in this run as well."""
        for run in self._runs:
            if key in run:
                self._runs[0][key] = run[key]
                return True
        return False


_NOW: ContextVar[Memory | None] = ContextVar("what is remembered", default=None)


@contextmanager
def remembering(memory: Memory | None) -> Iterator[None]:
    """Work within this is looked up in a memory first, and kept there."""
    if memory is not None:
        memory.new_run()
    token = _NOW.set(memory)
    try:
        yield
    finally:
        _NOW.reset(token)


def again_and_again() -> bool:
    """Whether one body is drafted again and again, so that the lines of one body are worked figure by figure
    (see `alone`). What is printed is made without, by the same code as for many bodies."""
    return _NOW.get() is not None


def each(
    about: Hashable,
    items: Sequence[Item],
    key: Callable[[Item], Hashable],
    work: Callable[[Sequence[Item]], Sequence[Answer]],
) -> Sequence[Answer]:
    """The answers of `work` for some items, each of which has its own answer whoever stands beside it. Within
    `remembering` it is asked only for those whose key is not known."""
    memory = _NOW.get()
    if memory is None:
        return work(items)
    return memory.each(about, items, [key(item) for item in items], work)


def of_thing(thing: Any, key: Callable[[Any], Hashable]) -> Hashable:
    """The key of a thing; within `remembering` it is worked out only once for the same object."""
    memory = _NOW.get()
    return key(thing) if memory is None else memory.of_thing(thing, key)


def one_by_one(
    work: Callable[[Sequence[Item]], list[Answer]],
) -> Callable[[Sequence[Item]], list[Answer]]:
    """A function from items to their answers, as one that remembers by the figures of the items."""

    @wraps(work)
    def asked(items: Sequence[Item]) -> list[Answer]:
        memory = _NOW.get()
        if memory is None:
            return work(items)
        return memory.each(work, items, [figures_of(item) for item in items], work)

    return asked


def once(work: Callable[..., Answer], *about: Any) -> Answer:
    """`work` of some figures, which within `remembering` is not done again for the same ones."""
    memory = _NOW.get()
    if memory is None:
        return work(*about)
    return memory.each(work, [about], [figures_of(about)], lambda asked: [work(*its) for its in asked])[0]


def figures_of(value: Any) -> Hashable:
    """All the figures of a thing, to the bit: arrays, and what is made of them."""
    kind = type(value)
    if kind is np.ndarray:
        return value.shape, value.tobytes()
    if kind is tuple or kind is list:
        return tuple([part if type(part) in _PLAIN else figures_of(part) for part in value])
    names = _names_of.get(kind)
    if names is None:
        names = _names_of[kind] = tuple(f.name for f in fields(value)) if is_dataclass(value) else ()
    if not names:
        return cast(Hashable, value)
    parts = [getattr(value, name) for name in names]
    return (kind, *[part if type(part) in _PLAIN else figures_of(part) for part in parts])


# Kinds of things that are what they are; most by far of what is asked after are marks of straights.
_PLAIN = frozenset({bool, int, float, str, type(None)})
# The fields of the kinds of things that are made of others; none of the rest.
_names_of: dict[type, tuple[str, ...]] = {}
