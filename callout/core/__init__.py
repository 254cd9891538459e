"""Pure core: checklist model, judging and the session state machine."""
