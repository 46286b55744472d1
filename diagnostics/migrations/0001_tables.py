"""The tables."""

import django.contrib.postgres.fields
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
    ]

    operations = [
        migrations.CreateModel(
            name='BenchWork',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('note_midi', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('minutes', models.DecimalField(decimal_places=1, max_digits=5)),
                ('result', models.CharField(choices=[('cured', 'Cured'), ('improved', 'Improved'), ('unchanged', 'Unchanged')], max_length=10)),
                ('comment', models.TextField(blank=True)),
                ('done_at', models.DateTimeField()),
            ],
            options={
                'verbose_name_plural': 'bench work',
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
            },
        ),
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
            name='CheckResult',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('note_midi', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('outcome', models.CharField(choices=[('positive', 'Shows the fault'), ('negative', 'Does not show it'), ('unclear', 'Unclear')], max_length=10)),
                ('comment', models.TextField(blank=True)),
            ],
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
            ],
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
            },
        ),
        migrations.CreateModel(
            name='Finding',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('note_midi', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('severity', models.CharField(choices=[('slight', 'Noticed when looked for'), ('moderate', 'Troubles the player'), ('severe', 'The note cannot be played')], default='moderate', max_length=10)),
                ('comment', models.TextField(blank=True)),
            ],
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
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='FittedPart',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('quantity', models.DecimalField(decimal_places=3, max_digits=10)),
            ],
        ),
        migrations.CreateModel(
            name='Measurement',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('quantity', models.CharField(choices=[('friction_g', 'Flange friction, grams at a radius'), ('swings', 'Swings of a freed hammer'), ('down_weight_g', 'Down weight, grams'), ('up_weight_g', 'Up weight, grams'), ('key_friction_g', 'Friction of the key alone, grams'), ('key_dip_mm', 'Key dip, millimetres'), ('pin_diameter_um', 'Diameter of the pin found, micrometres')], max_length=20)),
                ('value', models.DecimalField(decimal_places=2, max_digits=8)),
                ('radius_mm', models.DecimalField(blank=True, decimal_places=1, max_digits=5, null=True)),
                ('swings_counted', models.CharField(blank=True, choices=[('passes', 'Each pass through the bottom'), ('full_cycles', 'Each return to the same side')], max_length=20)),
            ],
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
            ],
            options={
                'verbose_name_plural': 'remedies',
                'ordering': ['code'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='RemedyPart',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('quantity', models.DecimalField(decimal_places=3, max_digits=10)),
            ],
        ),
        migrations.CreateModel(
            name='RoomReading',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('taken_at', models.DateTimeField()),
                ('place', models.CharField(choices=[('room', 'In the room'), ('inside', 'Inside the instrument')], default='room', max_length=10)),
                ('temperature_c', models.DecimalField(decimal_places=1, max_digits=4)),
                ('humidity_percent', models.DecimalField(decimal_places=1, max_digits=4)),
            ],
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
            },
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
            },
        ),
    ]
