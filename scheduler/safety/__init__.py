"""Rules of food: published limits as data, and what they say about recipes and plans."""
