"""``python3 -m calculators``: see ``cli``."""

from calculators.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
