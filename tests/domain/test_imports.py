from __future__ import annotations

import pkgutil
import subprocess
import sys

import benchtui.domain

FORBIDDEN = ("textual", "rich", "pint", "tinydb", "cattrs", "attr", "filelock", "platformdirs")

MODULES = sorted(
    m.name for m in pkgutil.walk_packages(benchtui.domain.__path__, benchtui.domain.__name__ + ".")
)


def test_there_are_modules_to_import() -> None:
    assert len(MODULES) > 20
    assert "benchtui.domain.session.steps.decide" in MODULES


def test_the_domain_imports_nothing_but_the_standard_library_and_itself() -> None:
    """Every module in one fresh interpreter, in which the libraries cannot be imported at all."""
    code = f"""
import importlib, sys
for name in {FORBIDDEN!r}:
    sys.modules[name] = None
before = set(sys.modules)
for name in {MODULES!r}:
    importlib.import_module(name)
roots = {{name.partition(".")[0] for name in set(sys.modules) - before}}
print(sorted(roots - set(sys.stdlib_module_names)))
print(sorted(n for n in sys.modules if n.startswith("benchtui.") and ".domain" not in n))
"""
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=False, timeout=60
    )
    assert done.stderr == ""
    assert done.stdout.splitlines() == ["['benchtui']", "[]"]
