"""One module per page: what it shows, where it is, how it is filled, and what its forms do."""
