"""The glance page: the session on a tablet or a second monitor."""
