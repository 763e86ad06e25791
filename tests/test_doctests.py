"""Every example in a docstring gives what it says."""

import doctest
import importlib
import pkgutil

import pytest

import racecalc

MODULES = [found.name for found in pkgutil.walk_packages(racecalc.__path__, "racecalc.")]


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_of_a_module_are_true(name):
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_there_are_examples():
    finder = doctest.DocTestFinder(exclude_empty=True)
    shown = {name: finder.find(importlib.import_module(name)) for name in MODULES}
    counted = sum(bool(test.examples) for tests in shown.values() for test in tests)
    assert counted > 60
