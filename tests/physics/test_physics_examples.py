"""The examples in the docstrings of the physics run, and every public formula is documented."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
from types import ModuleType

import pytest

from shellcoat import physics

FORMULA_MODULES = (
    "bridging",
    "buildup",
    "cavity",
    "coat_mass",
    "drying_rates",
    "evaporation",
    "exchange",
    "heating",
    "moist_air",
    "strength",
    "transport",
    "vents",
)


def module(name: str) -> ModuleType:
    """A module of the physics room."""
    return importlib.import_module(f"{physics.__name__}.{name}")


@pytest.mark.parametrize(
    "name", sorted(info.name for info in pkgutil.iter_modules(physics.__path__))
)
def test_examples_run(name: str) -> None:
    result = doctest.testmod(module(name))
    assert result.failed == 0


@pytest.mark.parametrize("name", FORMULA_MODULES)
def test_the_main_modules_have_examples(name: str) -> None:
    tests = doctest.DocTestFinder().find(module(name))
    assert sum(len(test.examples) for test in tests) >= 2


@pytest.mark.parametrize("name", FORMULA_MODULES)
def test_formulas_state_units_range_and_source(name: str) -> None:
    for title, formula in inspect.getmembers(module(name), inspect.isfunction):
        if title.startswith("_") or formula.__module__ != module(name).__name__:
            continue
        text = inspect.getdoc(formula) or ""
        for part in ("Parameters", "Returns", "Raises", "Notes", "References", "["):
            assert part in text, f"{name}.{title} lacks {part}"
        for parameter in inspect.signature(formula).parameters:
            assert parameter in text, f"{name}.{title} does not describe {parameter}"
