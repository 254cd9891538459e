"""The state port: what any bridge tells of the aircraft, over TCP, UDP or a WebSocket."""
