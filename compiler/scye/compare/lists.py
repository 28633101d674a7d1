"""What changed in what is bought to make a garment up, and in the steps of sewing."""

from __future__ import annotations

from collections.abc import Iterator

from scye.compare.documents import BodyPattern


def bought(old: BodyPattern, new: BodyPattern) -> Iterator[tuple[str, str]]:
    """Each finding that is new, no longer bought, or of another length or number, and what changed of it."""
    for key, text in new.bought.items():
        was = old.bought.get(key)
        if was is None:
            yield (_called(key), f"new, {text}")
        elif was != text:
            yield (_called(key), f"{text} (was {was})")
    for key in old.bought:
        if key not in new.bought:
            yield (_called(key), "no longer bought")


def _called(key: tuple[str, str]) -> str:
    kind, where = key
    return ", ".join(filter(None, (kind[:1].upper() + kind[1:], where)))


def sewn(old: BodyPattern, new: BodyPattern) -> Iterator[tuple[str, str]]:
    """The steps that come, go or change places."""
    fresh = [step for step in new.steps if step not in old.steps]
    gone = [step for step in old.steps if step not in new.steps]
    for step in fresh:
        yield ("Sewing order", f'new step {new.steps.index(step) + 1}, "{step}"')
    for step in gone:
        yield ("Sewing order", f'no longer "{step}"')
    kept = [[step for step in side.steps if step not in (*fresh, *gone)] for side in (old, new)]
    if kept[0] != kept[1]:
        yield ("Sewing order", "the same steps in another order")
