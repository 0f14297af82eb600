"""Air as the textbooks of worked examples take it: γ = 1.4 at every temperature."""

from __future__ import annotations

from dataclasses import replace

from ccassist.boost.gas import mixture

_DRY = mixture("none", 0.0, 0.0)
_ROW = (3.5 * float(_DRY.gas_constant), *[0.0] * 6)
AIR_1_4 = replace(_DRY, cool=_ROW, hot=_ROW)
