"""What the pages of the documentation take from the program while they are built."""
