"""What is measured through the plug hole of a whole assembly."""

from ccassist.vocabulary.make import volume
from ccassist.vocabulary.signs import SPACE_SIGN
from ccassist.vocabulary.silent import FILL
from ccassist.vocabulary.term import Term

WHOLE: tuple[Term, ...] = (
    volume(
        "assembly_volume",
        "clearance volume as a whole",
        "Vw",
        "all the space at top dead centre, filled through the plug hole of the whole assembly",
        (1.5, 4000),
        typical=63e-6,
        possible=(1e-9, 1.0),
        caution="holds the crevice and the chamfer, whether the sum of parts counts them or not",
        silent=FILL,
    ),
    volume(
        "plug_well_volume",
        "plug well",
        "Vpw",
        "threaded hole of the plug, from its bottom thread to its seat",
        (0.5, 5),
        possible=(0.0, 1e-4),
    ),
    volume(
        "plug_nose_volume",
        "plug nose",
        "Vpn",
        "space inside the nose of the fitted plug, less what stands out below the bottom thread",
        (-1, 1.5),
        possible=(-2e-5, 2e-5),
        sign=SPACE_SIGN,
        caution="one term with one sign: say adds or takes",
    ),
)
