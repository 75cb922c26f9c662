"""What a workshop keeps: people, things, and jobs as lists of entries that are added and never changed."""
