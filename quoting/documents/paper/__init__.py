"""What papers share: the page, its faces, and tags for screen readers."""
