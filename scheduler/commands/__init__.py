"""What each command does; `scheduler.cli` only names them and their options."""
