"""What every answer must be read with."""

from __future__ import annotations

from hutwright.assessment import Assessment

STANDING = (
    "These are engineering estimates held against published limits. They are no conformity assessment, they "
    "are not certified by anybody, and they do not replace measuring the finished door and wiring.",
    "Where people, children or animals can reach the door, local law applies: have a qualified person "
    "assess it and measure its forces before it moves unattended.",
    "Work on the mains, and whatever else a code reserves for a licensed electrician, belongs to one.",
    "Local building rules decide on structures near people, whatever stands here.",
    "Keep a way to free the door by hand, never bridge over a protective edge, and switch off the power "
    "before reaching into the gap.",
)


def cautions_of(assessment: Assessment) -> tuple[str, ...]:
    """The standing cautions, and those that go with what is described."""
    return tuple(dict.fromkeys((*STANDING, *assessment.cautions)))
