"""`python -m sagwright` is the command line."""

from __future__ import annotations

from sagwright.cli.main import main

if __name__ == "__main__":
    main()
