"""This program on somebody's desktop: shortcuts, completion of commands, where its data lie."""
