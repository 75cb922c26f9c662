"""The version of the program, the only place it is written."""

__version__ = "0.1.0"
