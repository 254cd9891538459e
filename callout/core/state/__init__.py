"""The state that an aircraft reports: read from a stream, and compared with what is said."""
