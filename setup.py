"""The one thing that pyproject.toml cannot say: which C modules are built."""

from setuptools import setup

setup(
    cffi_modules=[
        "src/hutwright/native/build.py:builder",
        "src/hutwright/native/build.py:wave_builder",
    ],
    options={"bdist_wheel": {"py_limited_api": "cp311"}},
)
