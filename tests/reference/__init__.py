"""Independent computations to test against; nothing here imports the package."""
