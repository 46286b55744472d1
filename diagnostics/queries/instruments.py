"""What this app asks of an instrument."""

from diagnostics.rules.keyboard import Compass
from shop.models import Instrument
from shop.rules.words import ENGLISH, Words, said


def compass_of(instrument: Instrument) -> Compass:
    """Return the notes that the instrument has."""
    return Compass(instrument.lowest_midi, instrument.highest_midi)


def name_of(instrument: Instrument, words: Words = ENGLISH) -> str:
    """Return maker, model, serial number and kind of action, for a heading."""
    return f"{instrument}, {said(words, instrument.get_action_display().lower())}"
