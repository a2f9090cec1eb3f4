"""What charts show, without a screen: bars and rows of a plan, steps over time, their figures."""
