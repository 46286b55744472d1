"""The catalogue that ships: complete, with its sources, and right where something is published."""

import tomllib
from decimal import Decimal
from io import StringIO

import pytest
from django.conf import settings
from django.core.management import call_command

from billing.actions.catalogue import BILLING_TABLES
from diagnostics.actions.catalogue import DIAGNOSTICS_TABLES
from diagnostics.models import Cause, Check, Fault, FaultFamily, MeasuredRange, PinShare, SetUp
from shop.actions.catalogue import SHOP_TABLES
from shop.models import Action, Part, PartCategory, Provenance, SizeScheme, TaxRate, WoodSpecies

pytestmark = pytest.mark.django_db

FOLDER = settings.BASE_DIR / "fixtures" / "catalogue"
TABLES = [*SHOP_TABLES, *DIAGNOSTICS_TABLES, *BILLING_TABLES]
LABELS = [f"{half / 2:g}" for half in range(36, 49)]  # 18 to 24 in halves

UPRIGHT = (
    "deb slip fpt bpt bht fpr bpb rub lead bus vrd cap wip ham jck jsp hrs bsl brw bck dml dsp scr"
    " hmr brk pun lvl lgt"
)
GRAND = "deb slip fpt bpt bht fpr rub lead bus chk una ham wip rep jck spr knu bck dmp sos scr brk"


@pytest.fixture(autouse=True)
def _loaded(db):
    call_command("load_catalogue", stdout=StringIO())


def pin(scheme, label):
    return Part.objects.get(category=PartCategory.CENTRE_PIN, size_scheme=scheme, size_label=label)


def test_every_row_of_the_files_is_stored():
    for table in TABLES:
        with (FOLDER / table.file).open("rb") as file:
            written = [row["code"] for row in tomllib.load(file)[table.section]]
        stored = table.model.objects.values_list("code", flat=True)
        assert sorted(stored) == sorted(written), table.section


def test_every_row_says_where_it_comes_from():
    for table in TABLES:
        rows = table.model.objects.all()
        assert rows.exists(), table.section
        assert not rows.filter(provenance__in=["", Provenance.SHOP]).exists(), table.section
        assert not rows.filter(provenance=Provenance.PUBLISHED, source="").exists(), table.section


# Source: common practice. A grand's action is slid out for any work behind its slip.
def test_pulling_a_grand_action_comes_with_its_caution():
    warned = SetUp.objects.filter(cautions__code="grand-action")
    assert set(warned.values_list("code", flat=True)) == {"g2", "g3"}


# Source: common practice. The complaint and a global check come before anything is opened.
def test_a_visit_starts_with_questions_and_a_global_check():
    first = Check.objects.filter(starts_a_visit=True, set_up__depth=0)
    assert set(first.values_list("code", flat=True)) == {"t1", "global"}


def test_all_sizes_of_centre_pins_from_18_to_24_are_there_in_both_schemes():
    pins = Part.objects.filter(category=PartCategory.CENTRE_PIN)
    found = set(pins.values_list("size_scheme", "size_label"))
    assert found == {(scheme, label) for scheme in SizeScheme.values for label in LABELS}
    assert pins.count() == 26


def test_inch_pins_follow_the_published_rule():
    # Thousandths of an inch are 10 + 2 N, and 20 is 0.050 in.
    # Source: a technician's public page, "Re-pin hammer flanges".
    for label in LABELS:
        thousandths = 10 + 2 * Decimal(label)
        assert pin(SizeScheme.INCH, label).diameter_um == round(thousandths * Decimal("25.4"))


def test_an_inch_pin_20_is_1270_um_and_a_half_size_is_a_thousandth_of_an_inch():
    assert pin(SizeScheme.INCH, "20").diameter_um == 1270  # 0.050 in, the same page
    # Sizes "vary by .001 in": a technicians' forum, 2024; to a whole micrometre.
    assert pin(SizeScheme.INCH, "20.5").diameter_um == 1295


def test_metric_pins_follow_their_own_rule():
    # 0.25 mm and 0.05 mm a size: from memory.
    for label, diameter_um in {"18": 1150, "20": 1250, "20.5": 1275, "24": 1450}.items():
        assert pin(SizeScheme.METRIC, label).diameter_um == diameter_um


def test_every_known_cause_is_there():
    wanted = {f"u-{cause}" for cause in UPRIGHT.split()}
    wanted |= {f"g-{cause}" for cause in GRAND.split()}
    assert wanted <= set(Cause.objects.values_list("code", flat=True))


def test_the_causes_of_an_upright_and_of_a_grand_hold_for_them():
    for cause in Cause.objects.select_related("remedy__set_up", "component"):
        kinds = set(cause.actions)
        assert (cause.code[0] == "u") <= ("grand" not in kinds), cause.code
        assert (cause.code[0] == "g") <= (kinds == {"grand"}), cause.code
        for other in (cause.remedy, cause.remedy.set_up, cause.component):
            assert kinds <= set(other.actions), f"{cause.code}, {other.code}"


def test_every_cause_has_signs_and_a_check_or_a_clearing_test():
    for cause in Cause.objects.prefetch_related("checks"):
        assert cause.signs, cause.code
        assert cause.clearing_test or cause.checks.all(), cause.code


def test_treating_the_room_is_no_cure_for_debris_breakage_or_a_bowed_rail():
    cured = set(Cause.objects.filter(cured_by_room=True).values_list("code", flat=True))
    never = {"deb", "slip", "brk", "crk", "bus", "lead", "elb", "str"}  # common practice
    assert not {code for code in cured if code[2:] in never}
    assert {"r-damp", "r-dry", "u-fpt", "g-fpt", "u-ham", "g-ham"} <= cured


def test_a_cause_tells_itself_from_a_false_positive_of_at_least_one_sign():
    for cause in Cause.objects.prefetch_related("cause_checks__check_made", "faults"):
        telling = [
            link
            for link in cause.cause_checks.all()
            if link.positive_share > link.check_made.false_positive_share
        ]
        assert telling or cause.faults.all(), cause.code


def test_the_shares_of_pin_sizes_are_a_whole():
    assert sum(PinShare.objects.values_list("share", flat=True)) == 1


def test_every_fault_that_ships_is_of_a_family():
    assert not Fault.objects.filter(family=FaultFamily.OTHER).exists()


def test_hammer_flanges_are_judged_by_the_makers_figure_and_its_radius():
    # 2 to 5 g at 23 mm from the pin: a maker's manual as quoted on a technicians' forum, 2023.
    judging = MeasuredRange.objects.get(quantity="friction_g", judges=True)
    assert (judging.low, judging.high, judging.radius_mm) == (2, 5, 23)
    assert judging.component.code == "hammer-shank-flange"


@pytest.mark.parametrize("action", Action.values)
@pytest.mark.parametrize(
    "quantity",
    ["down_weight_g", "up_weight_g", "touch_friction_g", "key_friction_g", "swings"],
)
def test_each_quantity_of_each_action_is_judged_by_one_range(action, quantity):
    judging = MeasuredRange.objects.filter(
        quantity=quantity, judges=True, actions__contains=[action]
    )
    assert judging.count() == 1


def test_no_tax_rate_ships():
    assert not TaxRate.objects.exists()


def test_a_second_load_changes_nothing():
    printed = StringIO()
    call_command("load_catalogue", stdout=printed)
    for line in printed.getvalue().splitlines()[1:-1]:
        assert line.split()[-4:-1] == ["0", "0", "0"], line


# Source: Wood Handbook, FPL-GTR-190 (2010), chapter 13: outside 6 to 14 % the movement for one
# percent is 1 / (30 x 100 / S - 30 + M), S being total shrinkage (from memory). At M = 10 it gives
# every coefficient of Table 13-5 from the shrinkage of Table 4-3, so a slip in either shows.
def test_the_figures_of_each_wood_agree_with_each_other():
    for wood in WoodSpecies.objects.all():
        for grain in ("radial", "tangential"):
            coefficient = float(getattr(wood, f"{grain}_coefficient"))
            shrinkage = float(getattr(wood, f"{grain}_shrinkage_percent"))
            assert coefficient == pytest.approx(1 / (3000 / shrinkage - 20), abs=6e-6), wood.code


# Source: Wood Handbook, FPL-GTR-190 (2010), Table 13-5.
@pytest.mark.parametrize(
    ("code", "radial", "tangential"),
    [
        ("american-basswood", "0.00230", "0.00330"),
        ("sugar-maple", "0.00165", "0.00353"),
        ("yellow-birch", "0.00256", "0.00338"),
        ("american-beech", "0.00190", "0.00431"),
        ("sitka-spruce", "0.00148", "0.00263"),
        ("sugar-pine", "0.00099", "0.00194"),
    ],
)
def test_woods_move_as_published(code, radial, tangential):
    wood = WoodSpecies.objects.get(code=code)
    assert wood.radial_coefficient == Decimal(radial)
    assert wood.tangential_coefficient == Decimal(tangential)
