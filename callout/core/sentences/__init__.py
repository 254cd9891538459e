"""Every sentence that a person hears or reads, one module for each part of the program.

``commands/`` holds the help and the answers of the command line. A name says when its sentence is
used, or begins as the sentence does. What varies is a parameter; nothing is decided here. To read
through what the program says, or to put it into another language, these modules are enough.
"""
