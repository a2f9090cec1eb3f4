"""Charts, computed: rows, bars and figures. Nothing here draws on a page."""
