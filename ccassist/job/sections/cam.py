"""The cam as installed: when the valves open and close, and at which lift that was read."""

from ccassist.job.sections.section import Section

CAM = (
    Section(
        name="cam",
        meaning="the cam as installed: valve events, and the lift at which they were read",
        terms=(
            "intake_opening",
            "intake_closing",
            "exhaust_opening",
            "exhaust_closing",
            "event_lift",
            "intake_duration",
            "intake_centreline",
            "exhaust_duration",
            "exhaust_centreline",
            "lobe_separation",
            "cam_advance",
            "valve_overlap",
            "intake_phase_advance",
            "intake_phase_retard",
            "exhaust_phase_advance",
            "exhaust_phase_retard",
            "wheel_doubt",
        ),
        samples=(
            "intake_opening",
            "intake_closing",
            "exhaust_opening",
            "exhaust_closing",
            "event_lift",
            "lift_read_at",
            "tappets",
            "wheel_doubt",
        ),
        chosen=("wheel_doubt",),
        words={"lift_read_at": ("the valve", "the tappet"), "tappets": ("solid", "hydraulic")},
        asks={"lift_read_at": "Where that lift was read", "tappets": "What the tappets are"},
    ),
)
