"""The cam as installed: when the valves open and close, and at which lift that was read."""

from ccassist.job.sections.section import Section

CAM = (
    Section(
        name="cam",
        meaning="the cam as installed: valve events, and the lift at which they were read",
        terms=("intake_opening", "intake_closing", "exhaust_opening", "exhaust_closing", "event_lift"),
        words={"lift_read_at": ("the valve", "the tappet")},
    ),
)
