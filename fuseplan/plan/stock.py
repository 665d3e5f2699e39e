"""What is at hand to be fitted: wire sizes, fuse ratings by type, relay contacts."""

from __future__ import annotations

from pydantic import Field

from fuseplan.plan.part import Name, Part
from fuseplan.plan.ranges import BoltInRating, CartridgeRating, CeramicRating, RatedCurrent
from fuseplan.quantities.wire_size import WireSize

_RATINGS = "ratings at hand of {}; once the ratings of any type are listed, a type left out is not at hand"
Ratings = tuple[RatedCurrent, ...]
Cartridges = tuple[CartridgeRating, ...]
BoltIns = tuple[BoltInRating, ...]


class Stock(Part):
    """Parts at hand: proposals, fixes and the buy list prefer them and say what is not among them."""

    wire: tuple[WireSize, ...] = Field((), description="wire sizes at hand; left out: 0.5 mm² and up in the standard "
                                       "sizes")
    mini: Ratings = Field((), description=_RATINGS.format("mini blade fuses"))
    blade: Ratings = Field((), description=_RATINGS.format("standard blade fuses"))
    maxi: Cartridges = Field((), description=_RATINGS.format("maxi blade fuses"))
    micro2: Ratings = Field((), description=_RATINGS.format("micro2 blade fuses"))
    micro3: Ratings = Field((), description=_RATINGS.format("micro3 blade fuses"))
    jcase: Cartridges = Field((), description=_RATINGS.format("cartridge fuses (jcase)"))
    midi: BoltIns = Field((), description=_RATINGS.format("midi bolt-in fuses"))
    mega: BoltIns = Field((), description=_RATINGS.format("mega bolt-in fuses"))
    strip: BoltIns = Field((), description=_RATINGS.format("bolt-in strip fuses"))
    glass: Ratings = Field((), description=_RATINGS.format("glass fuses"))
    glass_british: Ratings = Field((), description=_RATINGS.format("British glass fuses, by what they carry"))
    ceramic: tuple[CeramicRating, ...] = Field((), description=_RATINGS.format("ceramic (continental) fuses"))
    relay: tuple[Name, ...] = Field((), description="relay contacts at hand, as circuits name them; left out: any on "
                                    "file")
