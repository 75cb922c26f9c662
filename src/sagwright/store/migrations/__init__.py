"""How an older schema becomes the newest one, version by version; a version that was released is never changed."""
