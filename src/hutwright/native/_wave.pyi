"""The extension module that native/build.py makes; what it holds is said by the headers in C."""

from typing import Any

ffi: Any
lib: Any
