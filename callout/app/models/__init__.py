"""Downloads, installs and tests Vosk models."""
