"""What cooks get: sheets as data, and what is made of them. It decides nothing about the plan."""
