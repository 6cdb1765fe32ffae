"""Start our modules from their archive and ask nothing; runs inside the runtime."""

import importlib
import sys
from pathlib import Path

sys.path.append("/package/calculators.zip")
importlib.import_module("calculators.browser")
Path("/result.json").write_text("null", encoding="utf-8")
