"""The tables, their constraints and their guards."""

import django.contrib.postgres.fields
import django.db.models.deletion
import pgtrigger.compiler
import pgtrigger.migrations
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('pghistory', '0007_auto_20250421_0444'),
        ('shop', '0001_tables'),
    ]

    operations = [
        migrations.CreateModel(
            name='Check',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=60, unique=True)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('shipped_digest', models.CharField(blank=True, editable=False, max_length=64)),
                ('actions', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(choices=[('upright', 'Upright'), ('spinet', 'Spinet (drop action)'), ('grand', 'Grand')], max_length=20), size=None)),
                ('scope', models.CharField(choices=[('note', 'Each note'), ('instrument', 'The instrument, once')], max_length=20)),
                ('instruction', models.TextField()),
                ('reads_as', models.TextField(blank=True)),
                ('minutes_low', models.DecimalField(decimal_places=1, max_digits=5)),
                ('minutes_likely', models.DecimalField(decimal_places=1, max_digits=5)),
                ('minutes_high', models.DecimalField(decimal_places=1, max_digits=5)),
            ],
            options={
                'ordering': ['code'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Caution',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=60, unique=True)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('shipped_digest', models.CharField(blank=True, editable=False, max_length=64)),
                ('text', models.TextField()),
                ('topics', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(max_length=40), blank=True, default=list, size=None)),
            ],
            options={
                'ordering': ['code'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('provenance__in', ['published', 'common practice', 'from memory', 'estimate', 'shop'])), name='diagnostics_caution_provenance_known', violation_error_code='provenance-unknown', violation_error_message='Provenance is one of published, common practice, from memory, estimate, shop.')],
            },
        ),
        migrations.CreateModel(
            name='Component',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=60, unique=True)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('shipped_digest', models.CharField(blank=True, editable=False, max_length=64)),
                ('actions', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(choices=[('upright', 'Upright'), ('spinet', 'Spinet (drop action)'), ('grand', 'Grand')], max_length=20), size=None)),
            ],
            options={
                'ordering': ['code'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('provenance__in', ['published', 'common practice', 'from memory', 'estimate', 'shop'])), name='diagnostics_component_provenance_known', violation_error_code='provenance-unknown', violation_error_message='Provenance is one of published, common practice, from memory, estimate, shop.'), models.CheckConstraint(condition=models.Q(('actions__contained_by', ['upright', 'spinet', 'grand']), ('actions__len__gt', 0)), name='diagnostics_component_actions_known', violation_error_code='action-unknown', violation_error_message='Actions are one or more of upright, spinet and grand.')],
            },
        ),
        migrations.CreateModel(
            name='Examination',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('examined_at', models.DateTimeField()),
                ('complaint', models.TextField(blank=True)),
                ('notes_examined', django.contrib.postgres.fields.ArrayField(base_field=models.PositiveSmallIntegerField(), blank=True, default=list, size=None)),
                ('comment', models.TextField(blank=True)),
                ('instrument', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='examinations', to='shop.instrument')),
                ('technician', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='examinations', to=settings.AUTH_USER_MODEL)),
                ('visit', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='examinations', to='shop.visit')),
            ],
            options={
                'indexes': [models.Index(fields=['instrument', 'examined_at', 'id'], name='diagnostics_exam_by_instrument'), models.Index(fields=['examined_at', 'id'], name='diagnostics_exam_by_time')],
                'constraints': [models.CheckConstraint(condition=models.Q(('notes_examined__len__lte', 128)), name='diagnostics_examination_notes_midi', violation_error_code='notes-too-many', violation_error_message='At most 128 notes can be examined.')],
            },
        ),
        migrations.CreateModel(
            name='CheckResult',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('note_midi', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('outcome', models.CharField(choices=[('positive', 'Shows the fault'), ('negative', 'Does not show it'), ('unclear', 'Unclear')], max_length=10)),
                ('comment', models.TextField(blank=True)),
                ('check_made', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='results', to='diagnostics.check')),
                ('examination', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='check_results', to='diagnostics.examination')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('outcome__in', ['positive', 'negative', 'unclear'])), name='diagnostics_checkresult_outcome_known', violation_error_code='outcome-unknown', violation_error_message='An outcome is positive, negative or unclear.'), models.UniqueConstraint(fields=('examination', 'check_made', 'note_midi'), name='diagnostics_checkresult_once', nulls_distinct=False, violation_error_code='check-already-answered', violation_error_message='This check has a result on this note already.')],
            },
        ),
        migrations.CreateModel(
            name='Fault',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=60, unique=True)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('shipped_digest', models.CharField(blank=True, editable=False, max_length=64)),
                ('actions', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(choices=[('upright', 'Upright'), ('spinet', 'Spinet (drop action)'), ('grand', 'Grand')], max_length=20), size=None)),
                ('letter', models.CharField(max_length=1, unique=True)),
                ('description', models.TextField(blank=True)),
            ],
            options={
                'ordering': ['code'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('provenance__in', ['published', 'common practice', 'from memory', 'estimate', 'shop'])), name='diagnostics_fault_provenance_known', violation_error_code='provenance-unknown', violation_error_message='Provenance is one of published, common practice, from memory, estimate, shop.'), models.CheckConstraint(condition=models.Q(('actions__contained_by', ['upright', 'spinet', 'grand']), ('actions__len__gt', 0)), name='diagnostics_fault_actions_known', violation_error_code='action-unknown', violation_error_message='Actions are one or more of upright, spinet and grand.')],
            },
        ),
        migrations.CreateModel(
            name='Cause',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=60, unique=True)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('shipped_digest', models.CharField(blank=True, editable=False, max_length=64)),
                ('actions', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(choices=[('upright', 'Upright'), ('spinet', 'Spinet (drop action)'), ('grand', 'Grand')], max_length=20), size=None)),
                ('signs', models.TextField()),
                ('clearing_test', models.TextField(blank=True)),
                ('checks', models.ManyToManyField(blank=True, related_name='causes', to='diagnostics.check')),
                ('component', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='causes', to='diagnostics.component')),
                ('faults', models.ManyToManyField(blank=True, related_name='causes', to='diagnostics.fault')),
            ],
            options={
                'ordering': ['code'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Finding',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('note_midi', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('severity', models.CharField(choices=[('slight', 'Noticed when looked for'), ('moderate', 'Troubles the player'), ('severe', 'The note cannot be played')], default='moderate', max_length=10)),
                ('comment', models.TextField(blank=True)),
                ('cause', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='findings', to='diagnostics.cause')),
                ('component', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='findings', to='diagnostics.component')),
                ('examination', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='findings', to='diagnostics.examination')),
                ('fault', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='findings', to='diagnostics.fault')),
            ],
        ),
        migrations.CreateModel(
            name='BenchWork',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('note_midi', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('minutes', models.DecimalField(decimal_places=1, max_digits=5)),
                ('result', models.CharField(choices=[('cured', 'Cured'), ('improved', 'Improved'), ('unchanged', 'Unchanged')], max_length=10)),
                ('comment', models.TextField(blank=True)),
                ('done_at', models.DateTimeField()),
                ('bag', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='bench_work', to='shop.place')),
                ('done_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='bench_work', to=settings.AUTH_USER_MODEL)),
                ('cause_found', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='bench_work', to='diagnostics.cause')),
                ('examination', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='bench_work', to='diagnostics.examination')),
                ('finding', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='bench_work', to='diagnostics.finding')),
            ],
            options={
                'verbose_name_plural': 'bench work',
            },
        ),
        migrations.CreateModel(
            name='FittedPart',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('quantity', models.DecimalField(decimal_places=3, max_digits=10)),
                ('bench_work', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='fitted_parts', to='diagnostics.benchwork')),
                ('part', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='fitted', to='shop.part')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('quantity__gt', 0)), name='diagnostics_fittedpart_quantity_positive', violation_error_code='quantity-not-positive', violation_error_message='What is fitted is more than nothing.'), models.UniqueConstraint(fields=('bench_work', 'part'), name='diagnostics_fittedpart_once', violation_error_code='part-named-twice', violation_error_message='Bench work names each part once.')],
            },
        ),
        migrations.CreateModel(
            name='Measurement',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('quantity', models.CharField(choices=[('friction_g', 'Flange friction, grams at a radius'), ('swings', 'Swings of a freed hammer'), ('down_weight_g', 'Down weight, grams'), ('up_weight_g', 'Up weight, grams'), ('key_friction_g', 'Friction of the key alone, grams'), ('key_dip_mm', 'Key dip, millimetres'), ('pin_diameter_um', 'Diameter of the pin found, micrometres')], max_length=20)),
                ('value', models.DecimalField(decimal_places=2, max_digits=8)),
                ('radius_mm', models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True)),
                ('swings_counted', models.CharField(blank=True, choices=[('passes', 'Each pass through the bottom'), ('full_cycles', 'Each return to the same side')], max_length=20)),
                ('finding', models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.CASCADE, related_name='measurements', to='diagnostics.finding')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('quantity', 'friction_g'), ('value__range', (0, 100))), models.Q(('quantity', 'swings'), ('value__range', (0, 60))), models.Q(('quantity', 'down_weight_g'), ('value__range', (0, 300))), models.Q(('quantity', 'up_weight_g'), ('value__range', (0, 300))), models.Q(('quantity', 'key_friction_g'), ('value__range', (0, 100))), models.Q(('quantity', 'key_dip_mm'), ('value__range', (0, 30))), models.Q(('quantity', 'pin_diameter_um'), ('value__range', (500, 3000))), _connector='OR'), name='diagnostics_measurement_believable', violation_error_code='measurement-absurd', violation_error_message='The value is negative or larger than any piano gives.'), models.CheckConstraint(condition=models.Q(models.Q(('quantity', 'friction_g'), ('radius_mm__isnull', False), ('radius_mm__range', (1, 300))), models.Q(models.Q(('quantity', 'friction_g'), _negated=True), ('radius_mm__isnull', True)), _connector='OR'), name='diagnostics_measurement_friction_radius', violation_error_code='radius-missing', violation_error_message='Flange friction alone has a radius: 1 to 300 mm.'), models.CheckConstraint(condition=models.Q(models.Q(('quantity', 'swings'), ('swings_counted__in', ['passes', 'full_cycles'])), models.Q(models.Q(('quantity', 'swings'), _negated=True), ('swings_counted', '')), _connector='OR'), name='diagnostics_measurement_swings_counted', violation_error_code='swing-count-missing', violation_error_message='Swings say how they were counted: passes or full_cycles; nothing else does.'), models.UniqueConstraint(fields=('finding', 'quantity'), name='diagnostics_measurement_once', violation_error_code='measured-twice', violation_error_message='A finding has each quantity once.')],
            },
        ),
        migrations.CreateModel(
            name='PinShare',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=60, unique=True)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('shipped_digest', models.CharField(blank=True, editable=False, max_length=64)),
                ('size_label', models.CharField(max_length=10, unique=True)),
                ('share', models.DecimalField(decimal_places=4, max_digits=5)),
            ],
            options={
                'ordering': ['code'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('provenance__in', ['published', 'common practice', 'from memory', 'estimate', 'shop'])), name='diagnostics_pinshare_provenance_known', violation_error_code='provenance-unknown', violation_error_message='Provenance is one of published, common practice, from memory, estimate, shop.'), models.CheckConstraint(condition=models.Q(('share__gt', 0), ('share__lte', 1)), name='diagnostics_pinshare_within_one', violation_error_code='share-absurd', violation_error_message='A share lies above 0 and is at most 1.')],
            },
        ),
        migrations.CreateModel(
            name='Remedy',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=60, unique=True)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('shipped_digest', models.CharField(blank=True, editable=False, max_length=64)),
                ('actions', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(choices=[('upright', 'Upright'), ('spinet', 'Spinet (drop action)'), ('grand', 'Grand')], max_length=20), size=None)),
                ('description', models.TextField(blank=True)),
                ('charged_per', models.CharField(choices=[('note', 'Each note'), ('instrument', 'The instrument, once')], max_length=20)),
                ('minutes_low', models.DecimalField(decimal_places=1, max_digits=5)),
                ('minutes_likely', models.DecimalField(decimal_places=1, max_digits=5)),
                ('minutes_high', models.DecimalField(decimal_places=1, max_digits=5)),
                ('takes_pin_kit', models.BooleanField(default=False)),
                ('pins_per_note', models.PositiveSmallIntegerField(default=0)),
                ('cautions', models.ManyToManyField(blank=True, related_name='remedies', to='diagnostics.caution')),
            ],
            options={
                'verbose_name_plural': 'remedies',
                'ordering': ['code'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='FindingEvent',
            fields=[
                ('pgh_id', models.AutoField(primary_key=True, serialize=False)),
                ('pgh_created_at', models.DateTimeField(auto_now_add=True)),
                ('pgh_label', models.TextField(help_text='The event label.')),
                ('id', models.BigIntegerField()),
                ('note_midi', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('severity', models.CharField(choices=[('slight', 'Noticed when looked for'), ('moderate', 'Troubles the player'), ('severe', 'The note cannot be played')], default='moderate', max_length=10)),
                ('comment', models.TextField(blank=True)),
                ('cause', models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to='diagnostics.cause')),
                ('component', models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to='diagnostics.component')),
                ('examination', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to='diagnostics.examination')),
                ('fault', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to='diagnostics.fault')),
                ('pgh_context', models.ForeignKey(db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='pghistory.context')),
                ('pgh_obj', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='events', to='diagnostics.finding')),
                ('remedy', models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to='diagnostics.remedy')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.AddField(
            model_name='finding',
            name='remedy',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='findings', to='diagnostics.remedy'),
        ),
        migrations.AddField(
            model_name='cause',
            name='remedy',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='causes', to='diagnostics.remedy'),
        ),
        migrations.AddField(
            model_name='benchwork',
            name='remedy',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='bench_work', to='diagnostics.remedy'),
        ),
        migrations.CreateModel(
            name='RemedyPart',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('quantity', models.DecimalField(decimal_places=3, max_digits=10)),
                ('part', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='remedy_parts', to='shop.part')),
                ('remedy', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='remedy_parts', to='diagnostics.remedy')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('remedy', 'part'), name='diagnostics_remedypart_once', violation_error_code='part-named-twice', violation_error_message='A remedy names each part once.'), models.CheckConstraint(condition=models.Q(('quantity__gt', 0)), name='diagnostics_remedypart_quantity_positive', violation_error_code='quantity-not-positive', violation_error_message='A remedy needs more than nothing of a part.')],
            },
        ),
        migrations.AddField(
            model_name='remedy',
            name='parts',
            field=models.ManyToManyField(related_name='remedies', through='diagnostics.RemedyPart', to='shop.part'),
        ),
        migrations.CreateModel(
            name='RoomReading',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('taken_at', models.DateTimeField()),
                ('place', models.CharField(choices=[('room', 'In the room'), ('inside', 'Inside the instrument')], default='room', max_length=10)),
                ('temperature_c', models.DecimalField(decimal_places=1, max_digits=4)),
                ('humidity_percent', models.DecimalField(decimal_places=1, max_digits=4)),
                ('instrument', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='readings', to='shop.instrument')),
                ('taken_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('place__in', ['room', 'inside'])), name='diagnostics_roomreading_place_known', violation_error_code='place-unknown', violation_error_message='A reading is taken in the room or inside the instrument.'), models.CheckConstraint(condition=models.Q(('humidity_percent__gt', 0), ('humidity_percent__lte', 100), ('temperature_c__range', (-30, 60))), name='diagnostics_roomreading_believable', violation_error_code='reading-absurd', violation_error_message='A room has -30 to 60 °C and above 0 to 100 % humidity.'), models.UniqueConstraint(fields=('instrument', 'place', 'taken_at'), name='diagnostics_roomreading_once', violation_error_code='reading-exists', violation_error_message='There is a reading of this time and place already.')],
            },
        ),
        migrations.CreateModel(
            name='SetUp',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=60, unique=True)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('shipped_digest', models.CharField(blank=True, editable=False, max_length=64)),
                ('actions', django.contrib.postgres.fields.ArrayField(base_field=models.CharField(choices=[('upright', 'Upright'), ('spinet', 'Spinet (drop action)'), ('grand', 'Grand')], max_length=20), size=None)),
                ('depth', models.PositiveSmallIntegerField()),
                ('minutes_low', models.DecimalField(decimal_places=1, max_digits=5)),
                ('minutes_likely', models.DecimalField(decimal_places=1, max_digits=5)),
                ('minutes_high', models.DecimalField(decimal_places=1, max_digits=5)),
            ],
            options={
                'ordering': ['code'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('provenance__in', ['published', 'common practice', 'from memory', 'estimate', 'shop'])), name='diagnostics_setup_provenance_known', violation_error_code='provenance-unknown', violation_error_message='Provenance is one of published, common practice, from memory, estimate, shop.'), models.CheckConstraint(condition=models.Q(('actions__contained_by', ['upright', 'spinet', 'grand']), ('actions__len__gt', 0)), name='diagnostics_setup_actions_known', violation_error_code='action-unknown', violation_error_message='Actions are one or more of upright, spinet and grand.'), models.CheckConstraint(condition=models.Q(('minutes_likely__lte', models.F('minutes_high')), ('minutes_low__gte', 0), ('minutes_low__lte', models.F('minutes_likely'))), name='diagnostics_setup_minutes_ordered', violation_error_code='minutes-disordered', violation_error_message='Minutes run low, likely, high, none of them negative.')],
            },
        ),
        migrations.AddField(
            model_name='remedy',
            name='set_up',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='remedies', to='diagnostics.setup'),
        ),
        migrations.AddField(
            model_name='check',
            name='set_up',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='checks', to='diagnostics.setup'),
        ),
        migrations.CreateModel(
            name='Tool',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=60, unique=True)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('shipped_digest', models.CharField(blank=True, editable=False, max_length=64)),
            ],
            options={
                'ordering': ['code'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('provenance__in', ['published', 'common practice', 'from memory', 'estimate', 'shop'])), name='diagnostics_tool_provenance_known', violation_error_code='provenance-unknown', violation_error_message='Provenance is one of published, common practice, from memory, estimate, shop.')],
            },
        ),
        migrations.AddField(
            model_name='remedy',
            name='tools',
            field=models.ManyToManyField(blank=True, related_name='remedies', to='diagnostics.tool'),
        ),
        migrations.AddConstraint(
            model_name='finding',
            constraint=models.CheckConstraint(condition=models.Q(('severity__in', ['slight', 'moderate', 'severe'])), name='diagnostics_finding_severity_known', violation_error_code='severity-unknown', violation_error_message='Severity is slight, moderate or severe.'),
        ),
        migrations.AddConstraint(
            model_name='finding',
            constraint=models.UniqueConstraint(fields=('examination', 'note_midi', 'fault', 'component', 'cause'), name='diagnostics_finding_once', nulls_distinct=False, violation_error_code='finding-exists', violation_error_message='This fault is recorded on this note already.'),
        ),
        migrations.AddConstraint(
            model_name='cause',
            constraint=models.CheckConstraint(condition=models.Q(('provenance__in', ['published', 'common practice', 'from memory', 'estimate', 'shop'])), name='diagnostics_cause_provenance_known', violation_error_code='provenance-unknown', violation_error_message='Provenance is one of published, common practice, from memory, estimate, shop.'),
        ),
        migrations.AddConstraint(
            model_name='cause',
            constraint=models.CheckConstraint(condition=models.Q(('actions__contained_by', ['upright', 'spinet', 'grand']), ('actions__len__gt', 0)), name='diagnostics_cause_actions_known', violation_error_code='action-unknown', violation_error_message='Actions are one or more of upright, spinet and grand.'),
        ),
        migrations.AddConstraint(
            model_name='benchwork',
            constraint=models.CheckConstraint(condition=models.Q(('result__in', ['cured', 'improved', 'unchanged'])), name='diagnostics_benchwork_result_known', violation_error_code='result-unknown', violation_error_message='A result is cured, improved or unchanged.'),
        ),
        migrations.AddConstraint(
            model_name='benchwork',
            constraint=models.CheckConstraint(condition=models.Q(('minutes__gte', 0), ('minutes__lte', 1440)), name='diagnostics_benchwork_minutes_sensible', violation_error_code='minutes-absurd', violation_error_message='Work takes 0 to 1440 minutes.'),
        ),
        migrations.AddConstraint(
            model_name='check',
            constraint=models.CheckConstraint(condition=models.Q(('provenance__in', ['published', 'common practice', 'from memory', 'estimate', 'shop'])), name='diagnostics_check_provenance_known', violation_error_code='provenance-unknown', violation_error_message='Provenance is one of published, common practice, from memory, estimate, shop.'),
        ),
        migrations.AddConstraint(
            model_name='check',
            constraint=models.CheckConstraint(condition=models.Q(('actions__contained_by', ['upright', 'spinet', 'grand']), ('actions__len__gt', 0)), name='diagnostics_check_actions_known', violation_error_code='action-unknown', violation_error_message='Actions are one or more of upright, spinet and grand.'),
        ),
        migrations.AddConstraint(
            model_name='check',
            constraint=models.CheckConstraint(condition=models.Q(('minutes_likely__lte', models.F('minutes_high')), ('minutes_low__gte', 0), ('minutes_low__lte', models.F('minutes_likely'))), name='diagnostics_check_minutes_ordered', violation_error_code='minutes-disordered', violation_error_message='Minutes run low, likely, high, none of them negative.'),
        ),
        migrations.AddConstraint(
            model_name='check',
            constraint=models.CheckConstraint(condition=models.Q(('scope__in', ['note', 'instrument'])), name='diagnostics_check_scope_known', violation_error_code='scope-unknown', violation_error_message='A check is made on a note or on the instrument.'),
        ),
        migrations.AddConstraint(
            model_name='remedy',
            constraint=models.CheckConstraint(condition=models.Q(('provenance__in', ['published', 'common practice', 'from memory', 'estimate', 'shop'])), name='diagnostics_remedy_provenance_known', violation_error_code='provenance-unknown', violation_error_message='Provenance is one of published, common practice, from memory, estimate, shop.'),
        ),
        migrations.AddConstraint(
            model_name='remedy',
            constraint=models.CheckConstraint(condition=models.Q(('actions__contained_by', ['upright', 'spinet', 'grand']), ('actions__len__gt', 0)), name='diagnostics_remedy_actions_known', violation_error_code='action-unknown', violation_error_message='Actions are one or more of upright, spinet and grand.'),
        ),
        migrations.AddConstraint(
            model_name='remedy',
            constraint=models.CheckConstraint(condition=models.Q(('minutes_likely__lte', models.F('minutes_high')), ('minutes_low__gte', 0), ('minutes_low__lte', models.F('minutes_likely'))), name='diagnostics_remedy_minutes_ordered', violation_error_code='minutes-disordered', violation_error_message='Minutes run low, likely, high, none of them negative.'),
        ),
        migrations.AddConstraint(
            model_name='remedy',
            constraint=models.CheckConstraint(condition=models.Q(('charged_per__in', ['note', 'instrument'])), name='diagnostics_remedy_charged_per_known', violation_error_code='charged-per-unknown', violation_error_message='A remedy is charged per note or per instrument.'),
        ),
        migrations.AddConstraint(
            model_name='remedy',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('pins_per_note__range', (1, 20)), ('takes_pin_kit', True)), models.Q(('pins_per_note', 0), ('takes_pin_kit', False)), _connector='OR'), name='diagnostics_remedy_pins_with_kit', violation_error_code='pins-without-kit', violation_error_message='Work that takes a kit of pins says how many a note needs.'),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='examination',
            trigger=pgtrigger.compiler.Trigger(name='diagnostics_examination_instrument_fixed', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF OLD.instrument_id <> NEW.instrument_id AND EXISTS (SELECT FROM diagnostics_finding WHERE examination_id = NEW.id) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'diagnostics_examination_instrument_fixed',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Findings are recorded under this examination; it keeps its instrument.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='26fbc0dfe0ed741c671e3a03e0d588cc3edeb121', operation='UPDATE OF "instrument_id"', pgid='pgtrigger_diagnostics_examination_instrument_fixed_b7429', table='diagnostics_examination', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='checkresult',
            trigger=pgtrigger.compiler.Trigger(name='diagnostics_checkresult_note_in_compass', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF \n    NEW.note_midi IS NOT NULL AND NOT EXISTS (\n        SELECT FROM diagnostics_examination AS examination\n        JOIN shop_instrument AS instrument ON instrument.id = examination.instrument_id\n        WHERE examination.id = NEW.examination_id\n          AND NEW.note_midi BETWEEN instrument.lowest_midi AND instrument.highest_midi)\n THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'diagnostics_checkresult_note_in_compass',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The instrument does not have this note.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='7d9e714884f13682089782f4ccb9f2ed1d1aa669', operation='INSERT OR UPDATE', pgid='pgtrigger_diagnostics_checkresult_note_in_compass_d33ae', table='diagnostics_checkresult', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='checkresult',
            trigger=pgtrigger.compiler.Trigger(name='diagnostics_checkresult_fits_action', sql=pgtrigger.compiler.UpsertTriggerSql(declare='DECLARE action_here varchar;', func="\n            \n            SELECT instrument.action INTO action_here\n            FROM diagnostics_examination AS examination\n            JOIN shop_instrument AS instrument ON instrument.id = examination.instrument_id\n            WHERE examination.id = NEW.examination_id;\n        \n            IF NOT (action_here = ANY(COALESCE((SELECT actions FROM diagnostics_check WHERE id = NEW.check_made_id), ARRAY[action_here]))) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'diagnostics_checkresult_fits_action',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'This kind of action does not have that.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='38e06890858a11658372a86f789e70a15071a06d', operation='INSERT OR UPDATE', pgid='pgtrigger_diagnostics_checkresult_fits_action_72b5d', table='diagnostics_checkresult', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='fittedpart',
            trigger=pgtrigger.compiler.Trigger(name='diagnostics_fittedpart_bag_open', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF EXISTS (SELECT FROM diagnostics_benchwork AS work JOIN shop_place AS bag ON bag.id = work.bag_id WHERE work.id IN (CASE WHEN TG_OP <> 'INSERT' THEN OLD.bench_work_id END, CASE WHEN TG_OP <> 'DELETE' THEN NEW.bench_work_id END) AND NOT bag.is_active) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'diagnostics_fittedpart_bag_open',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The job is closed; its bench work stands as it is.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='ecc15314ebaa5bc411a99fa57e9bdb7f13cd62be', operation='INSERT OR UPDATE OR DELETE', pgid='pgtrigger_diagnostics_fittedpart_bag_open_f34de', table='diagnostics_fittedpart', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='fittedpart',
            trigger=pgtrigger.compiler.Trigger(name='diagnostics_fittedpart_in_bag', sql=pgtrigger.compiler.UpsertTriggerSql(declare='DECLARE in_bag numeric; fitted numeric; the_bag bigint;', func="\n            \n                    SELECT bag_id INTO the_bag\n                        FROM diagnostics_benchwork WHERE id = NEW.bench_work_id;\n                    SELECT quantity INTO in_bag FROM shop_level\n                        WHERE place_id = the_bag AND part_id = NEW.part_id FOR UPDATE;\n                    SELECT sum(fitted_part.quantity) INTO fitted\n                        FROM diagnostics_fittedpart AS fitted_part\n                        JOIN diagnostics_benchwork AS work ON work.id = fitted_part.bench_work_id\n                        WHERE work.bag_id = the_bag AND fitted_part.part_id = NEW.part_id;\n                \n            IF fitted > COALESCE(in_bag, 0) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'diagnostics_fittedpart_in_bag',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The job bag does not hold that much of this part.';\n            END IF;\n            RETURN NULL;\n        ", hash='345593a0cac4e8b1d4b722df4335bd49d0c88a6f', operation='INSERT OR UPDATE', pgid='pgtrigger_diagnostics_fittedpart_in_bag_fe978', table='diagnostics_fittedpart', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='findingevent',
            trigger=pgtrigger.compiler.Trigger(name='append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="RAISE EXCEPTION 'pgtrigger: Cannot update or delete rows from % table', TG_TABLE_NAME;", hash='d4d2a371fe46666143138d1404043bd2553e05f5', operation='UPDATE OR DELETE', pgid='pgtrigger_append_only_708fc', table='diagnostics_findingevent', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='finding',
            trigger=pgtrigger.compiler.Trigger(name='diagnostics_finding_note_in_compass', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF \n    NEW.note_midi IS NOT NULL AND NOT EXISTS (\n        SELECT FROM diagnostics_examination AS examination\n        JOIN shop_instrument AS instrument ON instrument.id = examination.instrument_id\n        WHERE examination.id = NEW.examination_id\n          AND NEW.note_midi BETWEEN instrument.lowest_midi AND instrument.highest_midi)\n THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'diagnostics_finding_note_in_compass',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The instrument does not have this note.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='1808392a4e7c983c81eaad3c02c5c146342f43a1', operation='INSERT OR UPDATE', pgid='pgtrigger_diagnostics_finding_note_in_compass_e2610', table='diagnostics_finding', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='finding',
            trigger=pgtrigger.compiler.Trigger(name='diagnostics_finding_fits_action', sql=pgtrigger.compiler.UpsertTriggerSql(declare='DECLARE action_here varchar;', func="\n            \n            SELECT instrument.action INTO action_here\n            FROM diagnostics_examination AS examination\n            JOIN shop_instrument AS instrument ON instrument.id = examination.instrument_id\n            WHERE examination.id = NEW.examination_id;\n        \n            IF NOT (action_here = ANY(COALESCE((SELECT actions FROM diagnostics_fault WHERE id = NEW.fault_id), ARRAY[action_here]))) OR NOT (action_here = ANY(COALESCE((SELECT actions FROM diagnostics_component WHERE id = NEW.component_id), ARRAY[action_here]))) OR NOT (action_here = ANY(COALESCE((SELECT actions FROM diagnostics_cause WHERE id = NEW.cause_id), ARRAY[action_here]))) OR NOT (action_here = ANY(COALESCE((SELECT actions FROM diagnostics_remedy WHERE id = NEW.remedy_id), ARRAY[action_here]))) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'diagnostics_finding_fits_action',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'This kind of action does not have that.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='fc04437fb6b010eb4d641eef5599c36dab4907a8', operation='INSERT OR UPDATE', pgid='pgtrigger_diagnostics_finding_fits_action_db8aa', table='diagnostics_finding', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='finding',
            trigger=pgtrigger.compiler.Trigger(name='insert_insert', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "diagnostics_findingevent" ("cause_id", "comment", "component_id", "examination_id", "fault_id", "id", "note_midi", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "remedy_id", "severity") VALUES (NEW."cause_id", NEW."comment", NEW."component_id", NEW."examination_id", NEW."fault_id", NEW."id", NEW."note_midi", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."remedy_id", NEW."severity"); RETURN NULL;', hash='fa2550ce5379b23d274030565a617e3f6613b3ba', operation='INSERT', pgid='pgtrigger_insert_insert_11d72', table='diagnostics_finding', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='finding',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD.* IS DISTINCT FROM NEW.*)', func='INSERT INTO "diagnostics_findingevent" ("cause_id", "comment", "component_id", "examination_id", "fault_id", "id", "note_midi", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "remedy_id", "severity") VALUES (NEW."cause_id", NEW."comment", NEW."component_id", NEW."examination_id", NEW."fault_id", NEW."id", NEW."note_midi", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."remedy_id", NEW."severity"); RETURN NULL;', hash='9a0e432078a6a88dc3aa2bd8020527b7b4ece29b', operation='UPDATE', pgid='pgtrigger_update_update_36ab0', table='diagnostics_finding', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='finding',
            trigger=pgtrigger.compiler.Trigger(name='delete_delete', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "diagnostics_findingevent" ("cause_id", "comment", "component_id", "examination_id", "fault_id", "id", "note_midi", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "remedy_id", "severity") VALUES (OLD."cause_id", OLD."comment", OLD."component_id", OLD."examination_id", OLD."fault_id", OLD."id", OLD."note_midi", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."remedy_id", OLD."severity"); RETURN NULL;', hash='29dbd0a234364ce39113c8719038a63d66e98304', operation='DELETE', pgid='pgtrigger_delete_delete_48fad', table='diagnostics_finding', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='benchwork',
            trigger=pgtrigger.compiler.Trigger(name='diagnostics_benchwork_note_in_compass', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF \n    NEW.note_midi IS NOT NULL AND NOT EXISTS (\n        SELECT FROM diagnostics_examination AS examination\n        JOIN shop_instrument AS instrument ON instrument.id = examination.instrument_id\n        WHERE examination.id = NEW.examination_id\n          AND NEW.note_midi BETWEEN instrument.lowest_midi AND instrument.highest_midi)\n THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'diagnostics_benchwork_note_in_compass',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The instrument does not have this note.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='e2870ad13d00ea077b575ab0844e4ffa48cc20c3', operation='INSERT OR UPDATE', pgid='pgtrigger_diagnostics_benchwork_note_in_compass_d6a66', table='diagnostics_benchwork', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='benchwork',
            trigger=pgtrigger.compiler.Trigger(name='diagnostics_benchwork_fits_action', sql=pgtrigger.compiler.UpsertTriggerSql(declare='DECLARE action_here varchar;', func="\n            \n            SELECT instrument.action INTO action_here\n            FROM diagnostics_examination AS examination\n            JOIN shop_instrument AS instrument ON instrument.id = examination.instrument_id\n            WHERE examination.id = NEW.examination_id;\n        \n            IF NOT (action_here = ANY(COALESCE((SELECT actions FROM diagnostics_remedy WHERE id = NEW.remedy_id), ARRAY[action_here]))) OR NOT (action_here = ANY(COALESCE((SELECT actions FROM diagnostics_cause WHERE id = NEW.cause_found_id), ARRAY[action_here]))) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'diagnostics_benchwork_fits_action',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'This kind of action does not have that.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='44622bba5ceb526fb1f3c9c9ec4179b24f84b4be', operation='INSERT OR UPDATE', pgid='pgtrigger_diagnostics_benchwork_fits_action_41dbd', table='diagnostics_benchwork', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='benchwork',
            trigger=pgtrigger.compiler.Trigger(name='diagnostics_benchwork_own_finding', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF NEW.finding_id IS NOT NULL AND NOT EXISTS (SELECT FROM diagnostics_finding WHERE id = NEW.finding_id AND examination_id = NEW.examination_id) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'diagnostics_benchwork_own_finding',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The finding belongs to another examination.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='fcdd751d3e7e16ce04fceb18e26f964f4492ced7', operation='INSERT OR UPDATE', pgid='pgtrigger_diagnostics_benchwork_own_finding_3928f', table='diagnostics_benchwork', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='benchwork',
            trigger=pgtrigger.compiler.Trigger(name='diagnostics_benchwork_bag_open', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF EXISTS (SELECT FROM shop_place WHERE id IN (CASE WHEN TG_OP <> 'INSERT' THEN OLD.bag_id END, CASE WHEN TG_OP <> 'DELETE' THEN NEW.bag_id END) AND NOT (kind = 'bag' AND is_active)) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'diagnostics_benchwork_bag_open',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The job is closed; its bench work stands as it is.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='500c459090d661d04427405d78e02d691202d8fb', operation='INSERT OR UPDATE OR DELETE', pgid='pgtrigger_diagnostics_benchwork_bag_open_be540', table='diagnostics_benchwork', when='BEFORE')),
        ),
    ]
