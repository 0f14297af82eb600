"""What is read of a gasket opening that is not round: a traced outline, or a cut-out on a scale."""

from ccassist.vocabulary.make import MM, length
from ccassist.vocabulary.silent import mm, silent
from ccassist.vocabulary.term import Kind, Term

OPENINGS: tuple[Term, ...] = (
    length(
        "outline_x",
        "outline point, across",
        "x",
        "of one point of a traced outline, from any edge of the paper",
        (-500, 500),
        possible=(-2000 * MM, 2000 * MM),
        silent=mm(0.3, 0.5, 2.0),
    ),
    length(
        "outline_y",
        "outline point, up",
        "y",
        "of the same point, square to the first",
        (-500, 500),
        possible=(-2000 * MM, 2000 * MM),
        silent=mm(0.3, 0.5, 2.0),
    ),
    Term(
        key="reference_area",
        name="reference square",
        symbol="Ar",
        kind=Kind.AREA,
        meaning="area of a square cut from the same sheet as the cut-out",
        possible=(1e-6, 2.0),
        plausible=(1e-4, 8e-2),
    ),
    Term(
        key="reference_mass",
        name="mass of the reference square",
        symbol="mref",
        kind=Kind.MASS,
        meaning="what the scale shows for the square",
        possible=(1e-6, 10.0),
        plausible=(1e-4, 0.5),
        silent=silent((5e-6, 0.005), (1e-5, 0.01), (2e-5, 0.05)),
    ),
    Term(
        key="cutout_mass",
        name="mass of the cut-out",
        symbol="mc",
        kind=Kind.MASS,
        meaning="what the scale shows for the cut-out of the opening, or for several together",
        possible=(1e-6, 10.0),
        plausible=(1e-4, 0.5),
        silent=silent((5e-6, 0.005), (1e-5, 0.01), (2e-5, 0.05)),
    ),
    Term(
        key="cutout_copies",
        name="number of cut-outs",
        symbol="j",
        kind=Kind.COUNT,
        meaning="cut-outs of one opening weighed together",
        possible=(1, 1000),
        plausible=(1, 50),
    ),
)
