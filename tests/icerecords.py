"""Ice of small waters as people wrote it down: first and last ice, days with ice, and thickness.

First four: Benson, B., J. Magnuson and S. Sharma, 2000 (updated 2020), Global Lake and River Ice Phenology Database,
Version 1, freeze/thaw dates, NSIDC, doi:10.7265/N5W66HP8, as kept in the public repository
simpson-lab/lake-ice-event-history-honours (commit 8e4bcde7), rows unchanged; every winter from 1980-81 on that it
holds. Sizes and heights: the table of lakes beside it. A winter is the day the water froze over, the day it was open
for good, and the days with ice between them, fewer where it opened for a while ("-": not written down).

Falling Creek Reservoir: Carey, C. C., and A. Breef-Pilz, ice cover data for Falling Creek Reservoir and Beaverdam
Reservoir, Vinton, Virginia, 2013-2023, Environmental Data Initiative, edi.456 and edi.1076, as kept in the public
repository CareyLabVT/Reservoirs (commit ede940d9): ice over more than half the way across; spells added up by hand.
No ice in 2019-20. Sizes: from memory, 0.12 km2, 9.3 m, mean 4 m, 507 m above the sea.
"""

import datetime
from typing import NamedTuple


class Water(NamedTuple):
    """A water: degrees, m, m2, m, m, share of the wind (our guess); winters as (first, last, days) from 1 July."""

    latitude: float
    elevation: float
    area: float
    deepest: float
    mean: float
    shelter: float
    winters: list


def _winters(first_year, text):
    found = []
    for number, winter in enumerate(text.split(";")):
        year = first_year + number
        on, off, days = winter.split()

        def since_july(words, year=year):
            if words == "-":
                return None
            month, day = map(int, words.split("/"))
            return (datetime.date(year + (month < 7), month, day) - datetime.date(year, 7, 1)).days
        found.append((since_july(on), since_july(off), None if days == "-" else int(days)))
    return found


RECORDS = {
    "Falling Creek Reservoir, Virginia": Water(37.30, 507, 1.2e5, 9.3, 4.0, 0.6, _winters(
        2013, "1/6 2/23 35;1/8 3/13 49;1/21 2/22 32;12/20 1/14 3;12/28 1/9 12;1/21 2/2 9;- - 0;12/27 2/23 42;"
              "1/11 2/10 28;12/23 2/6 18")),
    "Mohansic Lake, New York": Water(41.28, 139, 4.31e5, 6.1, 3.4, 0.6, _winters(
        1980, "12/7 2/22 77;12/19 3/24 95;1/14 3/6 51;12/21 2/29 70;1/9 3/5 55;12/20 3/16 86;12/22 3/26 94;"
              "12/30 3/24 85;12/13 3/16 93;12/4 3/10 84;1/1 3/2 60;12/20 3/5 76;12/25 4/4 100;12/24 4/4 101;"
              "1/5 3/9 43;12/11 3/19 99;1/9 3/1 51;12/9 2/28 53;12/24 3/3 69;1/15 3/9 54;12/23 4/1 99;1/1 2/21 -;"
              "- 3/27 -;1/10 3/15 65;12/21 4/2 102")),
    "Mohonk Lake, New York": Water(41.76, 380, 6.9e4, 18.0, 6.5, 0.4, _winters(
        1980, "12/15 3/26 97;12/13 4/18 126;1/14 4/2 78;12/21 4/12 113;1/5 3/21 75;12/20 3/31 101;12/19 3/31 102;"
              "12/31 4/4 95;12/15 3/27 102;12/5 3/16 101;12/28 3/19 71;12/25 4/5 102;12/15 4/17 118;12/24 4/16 113;"
              "1/10 3/24 73;12/10 4/8 120;1/1 4/7 93;12/22 3/28 91;1/2 4/2 90;12/26 3/26 91;12/10 4/20 131;"
              "1/2 3/9 66;12/28 4/15 108;1/8 4/5 88;12/21 4/9 109")),
    "Loon Lake, New York": Water(42.49, 518, 5.71e5, 13.7, 5.7, 0.6, _winters(
        1980, "12/5 3/31 116;12/11 4/17 127;1/13 3/27 56;12/19 4/12 115;1/6 3/29 82;12/3 3/28 115;12/13 3/29 106;"
              "12/29 3/30 92;12/10 3/28 108;11/23 3/14 107;12/27 3/21 84;12/17 4/12 117;12/9 4/15 127;12/12 4/15 124;"
              "12/12 3/20 85;11/25 4/12 129;12/21 3/28 93;12/11 3/28 101;12/23 4/3 101;12/23 3/9 77;11/24 4/12 135;"
              "12/25 3/9 74;12/4 4/13 130;12/4 3/30 117;12/15 4/10 116")),
    "Maple Lake, Wisconsin": Water(46.13, 498, 1.9e5, 4.6, 2.3, 0.5, _winters(
        1980, "11/11 4/9 149;11/12 4/29 168;11/14 4/26 162;11/12 4/15 155;11/6 4/19 161;11/11 4/10 150;11/11 4/9 149;"
              "11/10 4/11 147;10/30 4/23 175;11/14 4/15 152;12/13 4/11 114;11/4 4/26 174;11/7 4/27 166;11/7 4/18 162;"
              "11/25 4/18 144;11/8 5/8 182;11/12 4/25 164;11/12 4/7 146;12/9 4/13 125;11/30 3/31 122;11/19 4/19 151;"
              "12/7 4/17 131;11/5 4/15 155;11/8 4/17 161;11/24 4/11 138")),
    "Trout Bog, Wisconsin": Water(46.03, 494, 1.1e4, 7.9, 5.6, 0.3, _winters(
        1981, "11/17 5/2 166;11/17 4/28 162;11/13 4/19 158;11/10 4/23 164;11/13 4/12 150;11/11 4/11 151;11/22 4/14 144;"
              "11/16 4/25 160;11/14 4/22 159;11/25 4/19 145;11/3 4/29 178;11/12 4/27 166;11/7 4/19 163;11/25 4/26 152;"
              "11/8 5/9 183;11/10 4/29 170;11/13 4/11 149;12/8 4/15 128;11/26 4/4 130;11/19 4/22 154;12/7 4/23 137;"
              "11/14 4/23 160;11/9 4/20 163;11/24 4/14 141;11/22 4/13 142;11/30 4/17 138;11/16 4/30 166;11/18 4/21 154;"
              "12/1 3/30 119;11/25 4/30 156;11/18 3/26 129;11/25 5/9 165")),
}

# greatest thickness of each winter, m. Trout Bog and South Sparkling Bog, Wisconsin (0.48 ha, 10 m; only 2019, before
# its snow was cleared), 2019 to 2021: field data of Dugan, H. A., R. Ladwig, P. Schramm and N. Lottig, 2024, Snow
# removal cools a small dystrophic lake, Limnol. Oceanogr. Lett. Post Pond, New Hampshire, 1973-1982: least and
# greatest of nine winters: A. J. Gow and J. W. Govoni, 1983, Ice growth on Post Pond, CRREL Report 83-4 (abstract seen;
# size and height of the pond from memory, 0.47 km2, 11.5 m, 130 m above the sea).
POST_POND = Water(43.83, 130, 4.7e5, 11.5, 5.0, 0.6, [])
SPARKLING_BOG = Water(46.0, 494, 4.78e3, 10.0, 5.9, 0.3, [])
THICKNESS = (
    ("Trout Bog, Wisconsin", RECORDS["Trout Bog, Wisconsin"], (0.68, 0.57, 0.42)),
    ("South Sparkling Bog, Wisconsin", SPARKLING_BOG, (0.70,)),
    ("Post Pond, New Hampshire", POST_POND, (0.45, 0.67)),
)
# depth of snow over thickness of the ice below it at the thirteen visits to Trout Bog, same field data, cm
TROUT_BOG_SNOW = ((8.9, 26), (14.4, 66.5), (17.6, 66), (8.9, 68), (1.4, 37), (11.1, 57), (10.8, 44.5), (6.6, 54),
                  (11, 19), (10.6, 25), (12.9, 40), (24.6, 42), (0, 40))
