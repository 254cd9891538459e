"""The state port: receives the aircraft's state from any bridge, over TCP, UDP or WebSocket."""
