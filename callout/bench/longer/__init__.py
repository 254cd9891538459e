"""Answers of several words and near misses of them: heard, judged, and fitted on."""
