"""The public names: exact, documented, and free of cost until used."""

from __future__ import annotations

import subprocess
import sys
from importlib.metadata import version

import plateline


def test_every_public_name_resolves_and_is_documented():
    for name in plateline.__all__:
        value = getattr(plateline, name)
        assert name.startswith("__") or value.__doc__, name


def test_the_front_lists_exactly_what_it_serves():
    served = set(plateline._HOMES) | {"PlatelineError", "__version__"}
    assert set(plateline.__all__) == served
    assert plateline.__all__ == sorted(plateline.__all__)
    assert dir(plateline) == sorted(plateline.__all__)


def test_import_of_the_front_loads_no_heavy_library():
    program = (
        "import sys, plateline; "
        "heavy = {'polars', 'pandas', 'numpy', 'altair', 'scipy', 'statsmodels', 'papermill'}; "
        "print(sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert done.stdout.strip() == "[]", done.stderr


def test_the_version_is_the_same_in_the_package_and_its_metadata():
    assert version("plateline") == plateline.__version__
