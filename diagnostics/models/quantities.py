"""The quantities that are measured of a note."""

from django.db import models


class Quantity(models.TextChoices):
    """What was measured; the unit stands in the word."""

    FRICTION_G = "friction_g", "Flange friction, grams at a radius"
    SWINGS = "swings", "Swings of a freed hammer"
    DOWN_WEIGHT_G = "down_weight_g", "Down weight, grams"
    UP_WEIGHT_G = "up_weight_g", "Up weight, grams"
    KEY_FRICTION_G = "key_friction_g", "Friction of the key alone, grams"
    KEY_DIP_MM = "key_dip_mm", "Key dip, millimetres"
    PIN_DIAMETER_UM = "pin_diameter_um", "Diameter of the pin found, micrometres"
