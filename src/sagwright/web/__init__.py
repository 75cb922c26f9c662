"""Pages and forms: a page is a frozen dataclass of what it shows, a view fills it, a template shows it."""
