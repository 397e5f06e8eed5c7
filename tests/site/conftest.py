"""Lets the tests beside it import their helpers; the folder shares its name with a module of Python itself."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
