"""The version of the program, the only place it is written."""

__version__ = "0.1.0"

PROGRAM = f"sagwright {__version__}"
"""What names itself in what it computes and stores."""
