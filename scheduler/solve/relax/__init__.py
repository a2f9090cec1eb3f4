"""A week with the people and machines it shares priced instead of counted: for bounds."""
