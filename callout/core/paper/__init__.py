"""What is seen on paper, before anything is understood: words, strokes, boxes, blanks."""
