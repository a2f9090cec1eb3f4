"""Screens. They come with the `[ui]` extra; the command line needs none of them."""
