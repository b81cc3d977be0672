"""Keeping the site: backups, how long things are kept, a student's data out or away, who looked, health."""
