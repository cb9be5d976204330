"""The house that tests share: 26'-0" out to out, 8 in 12, walls of 5 1/2, overhang 16, 2x10 rafters, ceiling 4 in 12.

m = 2/3 and k(m) = sqrt(13)/3 = 1.201850, by hand: on the full bearing of 5 1/2 the heel is 9.25 k - (2/3) 5.5 = 7.4505,
handed over as 7 7/16; on a seat of 3 1/2 it is 8.7838, handed over as 8 13/16.
"""

from __future__ import annotations

import rooflab as rl

GABLE = rl.Gable("26'", 8, "5 1/2", 16)
FULL, SHORT = "7 7/16", "8 13/16"  # heels handed over: the seat on the full bearing, and a seat of 3 1/2
RAFTERS = rl.RafterBay(GABLE, "2x10", "3 1/2")
RAFTERS_FULL = rl.RafterBay(GABLE, "2x10")
TRUSS = rl.ScissorBay(GABLE, 4, SHORT)
TRUSS_FULL = rl.ScissorBay(GABLE, 4, FULL)
