"""Tests; the program is loaded first, since it tells libraries how to behave before they load."""

import callout as _before_the_libraries

assert _before_the_libraries
