"""Will the oxygen last the winter under ice?

Ice shuts the wind out and snow shuts the light out. What the pond holds at freeze-up must last
until thaw. The mud uses it over each square meter, the water in each cubic meter, so a shallow
pond runs out first.

What this leaves out: light through clear ice, inflow, holes and aerated water, fish (small in the
cold), and the uneven spread of oxygen: the bottom runs out weeks before the mean does.

No ice is ever safe ice, least of all near an aerator. Many states ask for a permit and for signs
where ice is opened; ask first.
"""

import numpy as np

from ..limits import positive
from ..refusals import Refused
from ..units import Range, quantities

__all__ = ["winter_loss", "days_under_ice"]

MUD = Range(0.08, 0.155, 0.23)      # g/m2/d, oligotrophic to eutrophic; the middle is the mean of the two
WATER = 0.01                        # mg/L/d
SUPPLY_LIMIT = 3.8                  # mg/L, whole-lake mean below which loss slows for want of oxygen


@quantities(volume="m^3", bed_area="m^2", gives="mg/L/day")
def winter_loss(volume, bed_area):
    """Oxygen lost in a day under ice and snow.

    Parameters
    ----------
    volume : float or array
        m3 of water under the ice.
    bed_area : float or array
        m2 of bed under water; the area of the surface is close. Bed over volume, not one over the
        greatest depth: in a bowl that would halve the loss or worse.

    Returns
    -------
    Range
        mg/L a day: oligotrophic, middle, eutrophic. Held for lake means above 3.8 mg/L; below that
        the loss slows.

    References
    ----------
    J. A. Mathias and J. Barica, 1980, Factors controlling oxygen depletion in ice-covered lakes, Can. J.
    Fish. Aquat. Sci. 37:185-195 (abstract seen): loss = s A/V + 0.01 g/m3/d, s 0.23 or 0.08 g/m2/d.
    """
    positive("winter_loss", volume=volume, bed_area=bed_area)
    return Range(*(mud * np.divide(bed_area, volume) + WATER for mud in MUD))


@quantities(volume="m^3", bed_area="m^2", dissolved_oxygen="mg/L", floor="mg/L", gives="day")
def days_under_ice(volume, bed_area, dissolved_oxygen, floor=SUPPLY_LIMIT):
    """Days from freeze-up until the mean oxygen of the pond falls to a floor.

    Parameters
    ----------
    volume, bed_area : float
        As for :func:`winter_loss`.
    dissolved_oxygen : float
        mg/L at freeze-up, mean of the pond.
    floor : float, optional
        mg/L, 3.8 or more: the steady rate was found above a mean of 3.8 mg/L.

    Returns
    -------
    Range
        days; `low` is the eutrophic pond.

    Raises
    ------
    ValueError
        For a floor below 3.8 mg/L, where the rule does not hold.
    """
    if np.any(np.asarray(floor) < SUPPLY_LIMIT):
        raise Refused("below a mean of 3.8 mg/L the loss slows and this rule does not hold (Mathias and Barica 1980). "
                      "Keep 3.8 mg/L or more.", by="days_under_ice")
    loss = winter_loss.si(volume, bed_area)
    left = np.maximum(0.0, np.subtract(dissolved_oxygen, floor))
    return Range(*(left / rate for rate in loss[::-1]))
