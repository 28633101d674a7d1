"""A body comes out the same, byte for byte, alone and in any company, order, process and hash seed."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import drafted
import numpy as np
import pytest
import survey

from scye.driver import Compiled, Compiler, Order
from scye.ir.fitting import Fitting
from scye.ir.people import Body
from scye.project import open_card
from scye.render.pattern_json import Header, pattern_json

RECIPES = ("saltmarsh-bodice", "yoked-bodice")
WREN = {"bust": 914.4, "underbust": 787.4, "waist": 711.2, "high_hip": 889.0, "hip": 965.2}


def crowd(count: int) -> tuple[Body, ...]:
    """Bodies about Wren's size, every measure off by some percent; the recipe's rules give the rest."""
    spread = np.random.default_rng(20).normal(1.0, 0.06, (count, len(WREN)))
    return tuple(
        survey.body_of(f"plover-{i}", {name: v * f for (name, v), f in zip(WREN.items(), row, strict=True)})
        for i, row in enumerate(spread.tolist())
    )


def some_bodies(count: int) -> tuple[Body, ...]:
    """Of the survey every so-many-th body, or an invented crowd where the survey is not here."""
    if survey.absent():
        return crowd(count)
    bodies = survey.bodies()
    return bodies[:: len(bodies) // count][:count]


def printed(compiler: Compiler, orders: Sequence[Order]) -> dict[str, bytes]:
    """What the machine-readable result says of each body."""
    header = Header("0", "recipe", "1")
    return {p.body: pattern_json([p], header) for p in drafted.patterns_of(compiler, orders)}


@pytest.fixture(scope="module", params=RECIPES)
def alone(request: pytest.FixtureRequest) -> tuple[str, dict[str, bytes]]:
    """Forty bodies, each drafted alone."""
    compiler = drafted.compiler_for(drafted.recipe_file(request.param))
    orders = drafted.orders_for(compiler, some_bodies(40))
    results: dict[str, bytes] = {}
    for order in orders:
        results |= printed(compiler, [order])
    return request.param, results


@pytest.mark.parametrize("size", [7, 40])
def test_in_batches(alone: tuple[str, dict[str, bytes]], size: int) -> None:
    recipe, expected = alone
    compiler = drafted.compiler_for(drafted.recipe_file(recipe))
    orders = drafted.orders_for(compiler, some_bodies(40))
    found: dict[str, bytes] = {}
    for i in range(0, len(orders), size):
        found |= printed(compiler, orders[i : i + size])
    assert found == expected


def test_in_another_order(alone: tuple[str, dict[str, bytes]]) -> None:
    recipe, expected = alone
    compiler = drafted.compiler_for(drafted.recipe_file(recipe))
    orders = drafted.orders_for(compiler, some_bodies(40))
    shuffled = [orders[i] for i in np.random.default_rng(4).permutation(len(orders))]
    assert printed(compiler, shuffled) == expected


def test_among_two_thousand(alone: tuple[str, dict[str, bytes]]) -> None:
    """All of a chunk is drafted together; those that are looked at lie scattered in it."""
    recipe, expected = alone
    compiler = drafted.compiler_for(drafted.recipe_file(recipe))
    others = [body for body in some_bodies(3000) if body.code not in expected][: 2048 - 40]
    mixed = list(others)
    for i, body in enumerate(some_bodies(40)):
        mixed.insert(i * 51, body)
    orders = drafted.orders_for(compiler, mixed)
    header = Header("0", "recipe", "1")
    found = {
        p.body: pattern_json([p], header) for p in drafted.patterns_of(compiler, orders) if p.body in expected
    }
    assert found == expected


def test_in_other_processes(alone: tuple[str, dict[str, bytes]]) -> None:
    recipe, expected = alone
    first = dict(list(expected.items())[:5])
    wanted = _digest(first)
    for seed in ("1", "1234"):
        run = subprocess.run(
            [sys.executable, __file__, recipe],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        )
        assert run.stdout.strip() == wanted


# --- every recipe and example, for everybody whose card it can draft ------------------------------

CARDS = sorted((drafted.ROOT / "examples" / "cards").glob("*.yaml"))
EVERY = [
    path
    for folder in ("recipes/*/*.scye", "examples/0*/0*.scye", "examples/newcomer/*.scye")
    for path in sorted(drafted.ROOT.glob(folder))
]


def orders_of_cards(compiler: Compiler) -> list[Order]:
    """Every card the recipe has a structure for: fitted ones, ones whose sides differ, inches and cm."""
    orders = []
    for card in CARDS:
        body, _ = open_card(card, compiler.project.catalogue)
        assert body is not None
        order, mistakes = compiler.order(body, ())
        if not mistakes and isinstance(compiler.compiled(order.settled, body.fittings), Compiled):
            orders.append(order)
    return orders


def among_others(compiler: Compiler, orders: Sequence[Order]) -> None:
    """Every order is drafted alone, then among all others in a shuffled order."""
    expected: dict[str, bytes] = {}
    for order in orders:
        expected |= printed(compiler, [order])
    assert len(expected) == len(orders), "two cards of one code cannot be told apart"
    found = printed(compiler, [orders[i] for i in np.random.default_rng(7).permutation(len(orders))])
    assert [code for code in expected if found[code] != expected[code]] == []


@pytest.mark.parametrize("recipe", EVERY, ids=lambda path: path.stem)
def test_cards_alone_and_among_all_others(recipe: Path) -> None:
    """Also those for whom a line, or all of it, cannot be drawn."""
    compiler = drafted.compiler_for(recipe)
    orders = orders_of_cards(compiler)
    assert len(orders) >= 8
    among_others(compiler, orders)


@pytest.mark.parametrize("name", ["02-skirt", "saltmarsh-bodice", "skirt-block"])
def test_fitted_alone_and_among_all_others(name: str) -> None:
    """Everybody has Dunlin's corrections: a third of them as hers, a third nothing, a third twice as much."""
    compiler = drafted.compiler_for(next(path for path in EVERY if path.stem == name))
    dunlin, _ = open_card(next(c for c in CARDS if c.stem == "dunlin-2025"), compiler.project.catalogue)
    assert dunlin is not None
    orders = []
    for number, order in enumerate(orders_of_cards(compiler)):
        fittings = tuple(times(fitting, (number + 1) % 3) for fitting in dunlin.fittings)
        orders.append(replace(order, body=replace(order.body, fittings=fittings)))
    among_others(compiler, orders)


def times(fitting: Fitting, factor: int) -> Fitting:
    corrections = tuple(replace(c, amount=c.amount * factor) for c in fitting.corrections)
    return replace(fitting, corrections=corrections)


def _digest(results: dict[str, bytes]) -> str:
    digest = hashlib.sha256()
    for code, data in results.items():
        digest.update(code.encode())
        digest.update(data)
    return digest.hexdigest()


def _told_by_itself(recipe: str) -> str:
    """The digest of the first five of the forty bodies, drafted together in a process of their own."""
    compiler = drafted.compiler_for(drafted.recipe_file(recipe))
    return _digest(printed(compiler, drafted.orders_for(compiler, some_bodies(40)[:5])))


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parent))
    print(_told_by_itself(sys.argv[1]))
