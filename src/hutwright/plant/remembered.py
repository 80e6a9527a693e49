"""Facts of a project that are worked out once, by the name under which plant and trades know them."""

from __future__ import annotations

from hutwright.model.remembered import KEPT, once_a_project

__all__ = ["KEPT", "once_a_project"]
