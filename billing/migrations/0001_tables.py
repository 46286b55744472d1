"""The tables."""

from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
    ]

    operations = [
        migrations.CreateModel(
            name='BagLine',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('wanted_quantity', models.DecimalField(decimal_places=3, max_digits=14)),
                ('taken_quantity', models.DecimalField(decimal_places=3, max_digits=14)),
            ],
        ),
        migrations.CreateModel(
            name='Fee',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=60, unique=True)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('shipped_digest', models.CharField(blank=True, editable=False, max_length=64)),
                ('kind', models.CharField(choices=[('travel', 'For coming'), ('inspection', 'For looking'), ('minimum', 'At least this much for a job')], max_length=20, unique=True)),
                ('amount', models.DecimalField(decimal_places=3, max_digits=14)),
            ],
            options={
                'ordering': ['code'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='FeeEvent',
            fields=[
                ('pgh_id', models.AutoField(primary_key=True, serialize=False)),
                ('pgh_created_at', models.DateTimeField(auto_now_add=True)),
                ('pgh_label', models.TextField(help_text='The event label.')),
                ('id', models.BigIntegerField()),
                ('code', models.SlugField(db_index=False, max_length=60)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('kind', models.CharField(choices=[('travel', 'For coming'), ('inspection', 'For looking'), ('minimum', 'At least this much for a job')], max_length=20)),
                ('amount', models.DecimalField(decimal_places=3, max_digits=14)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Invoice',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('currency', models.CharField(max_length=3)),
                ('minor_units', models.PositiveSmallIntegerField()),
                ('net_total', models.DecimalField(decimal_places=3, max_digits=14)),
                ('tax_total', models.DecimalField(decimal_places=3, max_digits=14)),
                ('gross_total', models.DecimalField(decimal_places=3, max_digits=14)),
                ('status', models.CharField(choices=[('draft', 'Draft'), ('issued', 'Issued')], default='draft', max_length=20)),
                ('drafted_at', models.DateTimeField()),
                ('sequence', models.PositiveIntegerField(blank=True, null=True)),
                ('number', models.CharField(blank=True, max_length=30)),
                ('issued_on', models.DateField(blank=True, null=True)),
                ('due_on', models.DateField(blank=True, null=True)),
                ('seller', models.JSONField(blank=True, null=True)),
                ('buyer', models.JSONField(blank=True, null=True)),
            ],
        ),
        migrations.CreateModel(
            name='InvoiceLine',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('position', models.PositiveSmallIntegerField()),
                ('kind', models.CharField(choices=[('set_up', 'Set-up'), ('labour', 'Labour'), ('part', 'Part'), ('fee', 'Fee'), ('minimum', 'Up to the least that a job costs')], max_length=10)),
                ('description', models.CharField(max_length=300)),
                ('quantity', models.DecimalField(decimal_places=3, max_digits=14)),
                ('unit', models.CharField(max_length=20)),
                ('unit_price', models.DecimalField(decimal_places=4, max_digits=14)),
                ('discount_amount', models.DecimalField(decimal_places=3, max_digits=14)),
                ('net_amount', models.DecimalField(decimal_places=3, max_digits=14)),
                ('tax_code', models.CharField(choices=[('S', 'Standard or reduced rate'), ('Z', 'Zero rated'), ('E', 'Exempt'), ('O', 'Not subject to tax')], max_length=2)),
                ('tax_percent', models.DecimalField(decimal_places=3, max_digits=6)),
            ],
            options={
                'ordering': ['position'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='InvoiceTax',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('tax_code', models.CharField(choices=[('S', 'Standard or reduced rate'), ('Z', 'Zero rated'), ('E', 'Exempt'), ('O', 'Not subject to tax')], max_length=2)),
                ('tax_percent', models.DecimalField(decimal_places=3, max_digits=6)),
                ('exemption_reason', models.CharField(blank=True, max_length=200)),
                ('taxable_amount', models.DecimalField(decimal_places=3, max_digits=14)),
                ('tax_amount', models.DecimalField(decimal_places=3, max_digits=14)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='LabourRate',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=60, unique=True)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('shipped_digest', models.CharField(blank=True, editable=False, max_length=64)),
                ('per_hour', models.DecimalField(decimal_places=3, max_digits=14)),
                ('valid_from', models.DateField()),
                ('valid_until', models.DateField(blank=True, null=True)),
            ],
            options={
                'ordering': ['code'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='LabourRateEvent',
            fields=[
                ('pgh_id', models.AutoField(primary_key=True, serialize=False)),
                ('pgh_created_at', models.DateTimeField(auto_now_add=True)),
                ('pgh_label', models.TextField(help_text='The event label.')),
                ('id', models.BigIntegerField()),
                ('code', models.SlugField(db_index=False, max_length=60)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('per_hour', models.DecimalField(decimal_places=3, max_digits=14)),
                ('valid_from', models.DateField()),
                ('valid_until', models.DateField(blank=True, null=True)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='NumberSeries',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.CharField(max_length=20)),
                ('year', models.PositiveSmallIntegerField()),
                ('last_number', models.PositiveIntegerField(default=0)),
            ],
            options={
                'verbose_name_plural': 'number series',
            },
        ),
        migrations.CreateModel(
            name='Payment',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('amount', models.DecimalField(decimal_places=3, max_digits=14)),
                ('method', models.CharField(choices=[('transfer', 'Bank transfer'), ('card', 'Card'), ('cash', 'Cash'), ('cheque', 'Cheque')], max_length=20)),
                ('received_on', models.DateField()),
                ('reference', models.CharField(blank=True, max_length=140)),
                ('recorded_at', models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name='Quote',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('currency', models.CharField(max_length=3)),
                ('minor_units', models.PositiveSmallIntegerField()),
                ('net_total', models.DecimalField(decimal_places=3, max_digits=14)),
                ('tax_total', models.DecimalField(decimal_places=3, max_digits=14)),
                ('gross_total', models.DecimalField(decimal_places=3, max_digits=14)),
                ('status', models.CharField(choices=[('offered', 'Offered'), ('approved', 'Approved'), ('declined', 'Declined'), ('withdrawn', 'Withdrawn'), ('expired', 'Expired'), ('completed', 'Completed')], default='offered', max_length=20)),
                ('made_at', models.DateTimeField()),
                ('valid_until', models.DateField()),
                ('net_low', models.DecimalField(decimal_places=3, max_digits=14)),
                ('net_high', models.DecimalField(decimal_places=3, max_digits=14)),
                ('minutes_low', models.DecimalField(decimal_places=1, max_digits=8)),
                ('minutes_likely', models.DecimalField(decimal_places=1, max_digits=8)),
                ('minutes_high', models.DecimalField(decimal_places=1, max_digits=8)),
                ('diagnosis', models.JSONField()),
                ('decided_at', models.DateTimeField(blank=True, null=True)),
                ('decided_on', models.DateField(blank=True, null=True)),
                ('decided_by_name', models.CharField(blank=True, max_length=200)),
                ('decision_reason', models.TextField(blank=True)),
                ('completed_at', models.DateTimeField(blank=True, null=True)),
            ],
        ),
        migrations.CreateModel(
            name='QuoteLine',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('position', models.PositiveSmallIntegerField()),
                ('kind', models.CharField(choices=[('set_up', 'Set-up'), ('labour', 'Labour'), ('part', 'Part'), ('fee', 'Fee'), ('minimum', 'Up to the least that a job costs')], max_length=10)),
                ('description', models.CharField(max_length=300)),
                ('quantity', models.DecimalField(decimal_places=3, max_digits=14)),
                ('unit', models.CharField(max_length=20)),
                ('unit_price', models.DecimalField(decimal_places=4, max_digits=14)),
                ('discount_amount', models.DecimalField(decimal_places=3, max_digits=14)),
                ('net_amount', models.DecimalField(decimal_places=3, max_digits=14)),
                ('tax_code', models.CharField(choices=[('S', 'Standard or reduced rate'), ('Z', 'Zero rated'), ('E', 'Exempt'), ('O', 'Not subject to tax')], max_length=2)),
                ('tax_percent', models.DecimalField(decimal_places=3, max_digits=6)),
                ('note_count', models.PositiveSmallIntegerField(default=0)),
                ('minutes_low', models.DecimalField(decimal_places=1, default=0, max_digits=8)),
                ('minutes_likely', models.DecimalField(decimal_places=1, default=0, max_digits=8)),
                ('minutes_high', models.DecimalField(decimal_places=1, default=0, max_digits=8)),
            ],
            options={
                'ordering': ['position'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='QuoteTax',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('tax_code', models.CharField(choices=[('S', 'Standard or reduced rate'), ('Z', 'Zero rated'), ('E', 'Exempt'), ('O', 'Not subject to tax')], max_length=2)),
                ('tax_percent', models.DecimalField(decimal_places=3, max_digits=6)),
                ('exemption_reason', models.CharField(blank=True, max_length=200)),
                ('taxable_amount', models.DecimalField(decimal_places=3, max_digits=14)),
                ('tax_amount', models.DecimalField(decimal_places=3, max_digits=14)),
            ],
            options={
                'abstract': False,
            },
        ),
    ]
