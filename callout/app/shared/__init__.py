"""What several rooms need: settings, tables, lists and shipped files read from disk."""
