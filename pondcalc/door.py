"""How does a notebook cell call the physics with what a person writes, such as ``"12 ft"``?

``from pondcalc.door import airline`` gives the module with a door before each function and record that declares its
units; everything else in it is as it is. Inside the package nobody needs the door.
"""

import importlib
import importlib.util

from . import units

FOLDERS = ("", "how_much_water.", "how_much_oxygen.", "bubbles_and_oxygen.", "back_pressure.", "warm_over_cold.",
           "power_and_housing.", "the_year.", "your_plan.")


class _Opened:
    """A module whose functions take text and quantities; what is set on it is set in the module."""

    def __init__(self, module):
        self.__dict__["_module"] = module

    def __setattr__(self, name, value):
        setattr(self._module, name, getattr(value, "si", value))

    def __getattr__(self, name):
        found = getattr(self._module, name)
        return units.asked(found) if callable(found) and hasattr(found, "gives") else found

    def __dir__(self):
        return dir(self._module)


def __getattr__(name):
    if not name.startswith("_"):
        for folder in FOLDERS:
            if importlib.util.find_spec(f"pondcalc.{folder}{name}"):
                return _Opened(importlib.import_module(f"pondcalc.{folder}{name}"))
    raise AttributeError(f"pondcalc has no module {name!r}")
