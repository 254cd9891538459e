"""Vosk models: fetched, installed, tried."""
