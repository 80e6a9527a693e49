"""The one thing that pyproject.toml cannot say: which C module is built."""

from setuptools import setup

setup(
    cffi_modules=["src/hutwright/native/build.py:builder"],
    options={"bdist_wheel": {"py_limited_api": "cp311"}},
)
