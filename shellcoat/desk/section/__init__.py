"""The section drawing: a cut through a shell's wall as an engineering section."""

from shellcoat.desk.section.paint import paint_section
from shellcoat.desk.section.picture import SectionBand, SectionPicture, section_picture
from shellcoat.desk.section.view import SectionView
from shellcoat.desk.section.words import describe_band, describe_section

__all__ = [
    "SectionBand",
    "SectionPicture",
    "SectionView",
    "describe_band",
    "describe_section",
    "paint_section",
    "section_picture",
]
