"""The tables, their constraints and their guards."""

import django.contrib.postgres.constraints
import django.contrib.postgres.fields.ranges
import django.db.models.deletion
import django.db.models.expressions
import django.db.models.functions.math
import pgtrigger.compiler
import pgtrigger.migrations
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('diagnostics', '0001_tables'),
        ('pghistory', '0007_auto_20250421_0444'),
        ('shop', '0001_tables'),
    ]

    operations = [
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
                ('tax_category', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='shop.taxcategory')),
            ],
            options={
                'ordering': ['code'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('provenance__in', ['published', 'common practice', 'from memory', 'estimate', 'shop'])), name='billing_fee_provenance_known', violation_error_code='provenance-unknown', violation_error_message='Provenance is one of published, common practice, from memory, estimate, shop.'), models.CheckConstraint(condition=models.Q(('kind__in', ['travel', 'inspection', 'minimum'])), name='billing_fee_kind_known', violation_error_code='kind-unknown', violation_error_message='A fee is for travel, inspection or a minimum.'), models.CheckConstraint(condition=models.Q(('amount__gte', 0)), name='billing_fee_not_negative', violation_error_code='amount-negative', violation_error_message='A fee is not negative.')],
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
                ('pgh_context', models.ForeignKey(db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='pghistory.context')),
                ('pgh_obj', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='events', to='billing.fee')),
                ('tax_category', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to='shop.taxcategory')),
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
                ('client', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='invoices', to='shop.client')),
                ('drafted_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
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
                ('invoice', models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.CASCADE, related_name='lines', to='billing.invoice')),
                ('tax_category', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='shop.taxcategory')),
            ],
            options={
                'ordering': ['position'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('kind__in', ['set_up', 'labour', 'part', 'fee', 'minimum'])), name='billing_invoiceline_kind_known', violation_error_code='kind-unknown', violation_error_message='A line is a set-up, labour, a part, a fee or the minimum.'), models.CheckConstraint(condition=models.Q(('discount_amount__gte', 0), ('net_amount__gte', 0), ('quantity__gte', 0), ('unit_price__gte', 0)), name='billing_invoiceline_amounts_sensible', violation_error_code='amount-negative', violation_error_message='Quantity and amounts are not negative.'), models.CheckConstraint(condition=models.Q(('tax_code__in', ['S', 'Z', 'E', 'O']), ('tax_percent__range', (0, 100))), name='billing_invoiceline_tax_known', violation_error_code='tax-unknown', violation_error_message='A tax has the code S, Z, E or O and lies between 0 and 100 %.'), models.UniqueConstraint(fields=('invoice', 'position'), name='billing_invoiceline_position_once', violation_error_code='position-taken', violation_error_message='An invoice has one line at a position.')],
            },
        ),
        migrations.CreateModel(
            name='InvoiceStatusNumberEvent',
            fields=[
                ('pgh_id', models.AutoField(primary_key=True, serialize=False)),
                ('pgh_created_at', models.DateTimeField(auto_now_add=True)),
                ('pgh_label', models.TextField(help_text='The event label.')),
                ('status', models.CharField(choices=[('draft', 'Draft'), ('issued', 'Issued')], default='draft', max_length=20)),
                ('number', models.CharField(blank=True, max_length=30)),
                ('pgh_context', models.ForeignKey(db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='pghistory.context')),
                ('pgh_obj', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='status_number_events', to='billing.invoice')),
            ],
            options={
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
                ('invoice', models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.CASCADE, related_name='taxes', to='billing.invoice')),
            ],
            options={
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('tax_amount__gte', 0), ('taxable_amount__gte', 0)), name='billing_invoicetax_amounts_sensible', violation_error_code='amount-negative', violation_error_message='The taxable amount and its tax are not negative.'), models.CheckConstraint(condition=models.Q(('tax_code__in', ['S', 'Z', 'E', 'O']), ('tax_percent__range', (0, 100))), name='billing_invoicetax_tax_known', violation_error_code='tax-unknown', violation_error_message='A tax has the code S, Z, E or O and lies between 0 and 100 %.'), models.UniqueConstraint(fields=('invoice', 'tax_code', 'tax_percent'), name='billing_invoicetax_rate_once', violation_error_code='rate-taken', violation_error_message='An invoice sums up each tax once.')],
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
                ('tax_category', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='shop.taxcategory')),
            ],
            options={
                'ordering': ['code'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('provenance__in', ['published', 'common practice', 'from memory', 'estimate', 'shop'])), name='billing_labourrate_provenance_known', violation_error_code='provenance-unknown', violation_error_message='Provenance is one of published, common practice, from memory, estimate, shop.'), models.CheckConstraint(condition=models.Q(('per_hour__gte', 0)), name='billing_labourrate_not_negative', violation_error_code='amount-negative', violation_error_message='A labour rate is not negative.'), models.CheckConstraint(condition=models.Q(('valid_until__isnull', True), ('valid_from__lt', models.F('valid_until')), _connector='OR'), name='billing_labourrate_ends_after_start', violation_error_code='dates-disordered', violation_error_message='A rate ends after it starts.'), django.contrib.postgres.constraints.ExclusionConstraint(expressions=[(models.Func(models.F('valid_from'), models.F('valid_until'), function='daterange', output_field=django.contrib.postgres.fields.ranges.DateRangeField()), '&&')], name='billing_labourrate_no_overlap', violation_error_code='rate-overlaps', violation_error_message='Another labour rate holds on some of these days.')],
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
                ('pgh_context', models.ForeignKey(db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='pghistory.context')),
                ('pgh_obj', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='events', to='billing.labourrate')),
                ('tax_category', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to='shop.taxcategory')),
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
                'constraints': [models.UniqueConstraint(fields=('code', 'year'), name='billing_numberseries_once', violation_error_code='series-exists', violation_error_message='There is one series of a code and year.')],
            },
        ),
        migrations.AddField(
            model_name='invoice',
            name='series',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='invoices', to='billing.numberseries'),
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
                ('invoice', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='payments', to='billing.invoice')),
                ('recorded_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'indexes': [models.Index(fields=['received_on', 'id'], name='billing_payment_by_day')],
                'constraints': [models.CheckConstraint(condition=models.Q(('amount__gt', 0)), name='billing_payment_amount_positive', violation_error_code='amount-not-positive', violation_error_message='A payment is more than nothing.'), models.CheckConstraint(condition=models.Q(('method__in', ['transfer', 'card', 'cash', 'cheque'])), name='billing_payment_method_known', violation_error_code='method-unknown', violation_error_message='The method is transfer, card, cash or cheque.')],
            },
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
                ('bag', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='quote', to='shop.place')),
                ('client', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='quotes', to='shop.client')),
                ('examination', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='quotes', to='diagnostics.examination')),
                ('from_place', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='shop.place')),
                ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'indexes': [models.Index(fields=['status', 'valid_until'], name='billing_quote_by_status'), models.Index(fields=['made_at', 'id'], name='billing_quote_by_time')],
                'constraints': [models.CheckConstraint(condition=models.Q(('gross_total', django.db.models.expressions.CombinedExpression(models.F('net_total'), '+', models.F('tax_total')))), name='billing_quote_totals_add_up', violation_error_code='totals-differ', violation_error_message='The total with tax is the total without tax and the tax.'), models.CheckConstraint(condition=models.Q(('net_total', django.db.models.functions.math.Round('net_total', 'minor_units')), ('tax_total', django.db.models.functions.math.Round('tax_total', 'minor_units'))), name='billing_quote_totals_rounded', violation_error_code='amount-too-fine', violation_error_message='Totals have no more decimals than the currency.'), models.CheckConstraint(condition=models.Q(('net_total__gte', 0), ('tax_total__gte', 0)), name='billing_quote_totals_not_negative', violation_error_code='amount-negative', violation_error_message='Totals are not negative.'), models.CheckConstraint(condition=models.Q(('currency__regex', '^[A-Z]{3}$'), ('minor_units__lte', 3)), name='billing_quote_currency_code', violation_error_code='currency-unknown', violation_error_message='The currency is three capital letters (ISO 4217).'), models.CheckConstraint(condition=models.Q(('status__in', ['offered', 'approved', 'declined', 'withdrawn', 'expired', 'completed'])), name='billing_quote_status_known', violation_error_code='status-unknown', violation_error_message='The status is not one that a quote has.'), models.CheckConstraint(condition=models.Q(models.Q(('status__in', ['approved', 'completed']), _negated=True), models.Q(('decided_at__isnull', False), ('decided_on__isnull', False), ('decided_on__lte', models.F('valid_until'))), _connector='OR'), name='billing_quote_approved_in_time', violation_error_code='quote-expired', violation_error_message='The quote has expired; make a new one.'), models.CheckConstraint(condition=models.Q(models.Q(('completed_at__isnull', False), ('status', 'completed')), models.Q(models.Q(('status', 'completed'), _negated=True), ('completed_at__isnull', True)), _connector='OR'), name='billing_quote_completed_when', violation_error_code='completion-undated', violation_error_message='A completed quote, and no other, says when it was.'), models.UniqueConstraint(condition=models.Q(('status__in', ['offered', 'approved'])), fields=('examination',), name='billing_quote_one_open', violation_error_code='already-quoted', violation_error_message='The examination has an open quote; withdraw it or ask to replace it.')],
            },
        ),
        migrations.AddField(
            model_name='invoice',
            name='quote',
            field=models.OneToOneField(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='invoice', to='billing.quote'),
        ),
        migrations.CreateModel(
            name='BagLine',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('wanted_quantity', models.DecimalField(decimal_places=3, max_digits=14)),
                ('taken_quantity', models.DecimalField(decimal_places=3, max_digits=14)),
                ('part', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='bag_lines', to='shop.part')),
                ('quote', models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.PROTECT, related_name='bag_lines', to='billing.quote')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('quote', 'part'), name='billing_bagline_part_once', violation_error_code='part-named-twice', violation_error_message='A job bag names each part once.'), models.CheckConstraint(condition=models.Q(('taken_quantity__gte', 0), ('taken_quantity__lte', models.F('wanted_quantity')), ('wanted_quantity__gt', 0)), name='billing_bagline_taken_within_wanted', violation_error_code='taken-beyond-wanted', violation_error_message='A bag takes no more of a part than the work wants.')],
            },
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
                ('part', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='shop.part')),
                ('quote', models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.PROTECT, related_name='lines', to='billing.quote')),
                ('remedy', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='diagnostics.remedy')),
                ('tax_category', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='shop.taxcategory')),
            ],
            options={
                'ordering': ['position'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('kind__in', ['set_up', 'labour', 'part', 'fee', 'minimum'])), name='billing_quoteline_kind_known', violation_error_code='kind-unknown', violation_error_message='A line is a set-up, labour, a part, a fee or the minimum.'), models.CheckConstraint(condition=models.Q(('discount_amount__gte', 0), ('net_amount__gte', 0), ('quantity__gte', 0), ('unit_price__gte', 0)), name='billing_quoteline_amounts_sensible', violation_error_code='amount-negative', violation_error_message='Quantity and amounts are not negative.'), models.CheckConstraint(condition=models.Q(('tax_code__in', ['S', 'Z', 'E', 'O']), ('tax_percent__range', (0, 100))), name='billing_quoteline_tax_known', violation_error_code='tax-unknown', violation_error_message='A tax has the code S, Z, E or O and lies between 0 and 100 %.'), models.UniqueConstraint(fields=('quote', 'position'), name='billing_quoteline_position_once', violation_error_code='position-taken', violation_error_message='A quote has one line at a position.')],
            },
        ),
        migrations.CreateModel(
            name='QuoteStatusDecidedAtDecidedByNameDecisionReasonEvent',
            fields=[
                ('pgh_id', models.AutoField(primary_key=True, serialize=False)),
                ('pgh_created_at', models.DateTimeField(auto_now_add=True)),
                ('pgh_label', models.TextField(help_text='The event label.')),
                ('status', models.CharField(choices=[('offered', 'Offered'), ('approved', 'Approved'), ('declined', 'Declined'), ('withdrawn', 'Withdrawn'), ('expired', 'Expired'), ('completed', 'Completed')], default='offered', max_length=20)),
                ('decided_at', models.DateTimeField(blank=True, null=True)),
                ('decided_by_name', models.CharField(blank=True, max_length=200)),
                ('decision_reason', models.TextField(blank=True)),
                ('pgh_context', models.ForeignKey(db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='pghistory.context')),
                ('pgh_obj', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='status_decided_at_decided_by_name_decision_reason_events', to='billing.quote')),
            ],
            options={
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
                ('quote', models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.PROTECT, related_name='taxes', to='billing.quote')),
            ],
            options={
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('tax_amount__gte', 0), ('taxable_amount__gte', 0)), name='billing_quotetax_amounts_sensible', violation_error_code='amount-negative', violation_error_message='The taxable amount and its tax are not negative.'), models.CheckConstraint(condition=models.Q(('tax_code__in', ['S', 'Z', 'E', 'O']), ('tax_percent__range', (0, 100))), name='billing_quotetax_tax_known', violation_error_code='tax-unknown', violation_error_message='A tax has the code S, Z, E or O and lies between 0 and 100 %.'), models.UniqueConstraint(fields=('quote', 'tax_code', 'tax_percent'), name='billing_quotetax_rate_once', violation_error_code='rate-taken', violation_error_message='A quote sums up each tax once.')],
            },
        ),
        migrations.AddIndex(
            model_name='invoice',
            index=models.Index(fields=['client', 'issued_on'], name='billing_invoice_by_client'),
        ),
        migrations.AddIndex(
            model_name='invoice',
            index=models.Index(fields=['drafted_at', 'id'], name='billing_invoice_by_time'),
        ),
        migrations.AddConstraint(
            model_name='invoice',
            constraint=models.CheckConstraint(condition=models.Q(('gross_total', django.db.models.expressions.CombinedExpression(models.F('net_total'), '+', models.F('tax_total')))), name='billing_invoice_totals_add_up', violation_error_code='totals-differ', violation_error_message='The total with tax is the total without tax and the tax.'),
        ),
        migrations.AddConstraint(
            model_name='invoice',
            constraint=models.CheckConstraint(condition=models.Q(('net_total', django.db.models.functions.math.Round('net_total', 'minor_units')), ('tax_total', django.db.models.functions.math.Round('tax_total', 'minor_units'))), name='billing_invoice_totals_rounded', violation_error_code='amount-too-fine', violation_error_message='Totals have no more decimals than the currency.'),
        ),
        migrations.AddConstraint(
            model_name='invoice',
            constraint=models.CheckConstraint(condition=models.Q(('net_total__gte', 0), ('tax_total__gte', 0)), name='billing_invoice_totals_not_negative', violation_error_code='amount-negative', violation_error_message='Totals are not negative.'),
        ),
        migrations.AddConstraint(
            model_name='invoice',
            constraint=models.CheckConstraint(condition=models.Q(('currency__regex', '^[A-Z]{3}$'), ('minor_units__lte', 3)), name='billing_invoice_currency_code', violation_error_code='currency-unknown', violation_error_message='The currency is three capital letters (ISO 4217).'),
        ),
        migrations.AddConstraint(
            model_name='invoice',
            constraint=models.CheckConstraint(condition=models.Q(('status__in', ['draft', 'issued'])), name='billing_invoice_status_known', violation_error_code='status-unknown', violation_error_message='An invoice is a draft or issued.'),
        ),
        migrations.AddConstraint(
            model_name='invoice',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(models.Q(('status', 'issued'), _negated=True), ('number', ''), ('sequence__isnull', True)), models.Q(models.Q(('number', ''), _negated=True), ('buyer__isnull', False), ('due_on__gte', models.F('issued_on')), ('due_on__isnull', False), ('issued_on__isnull', False), ('seller__isnull', False), ('sequence__isnull', False), ('series__isnull', False), ('status', 'issued')), _connector='OR'), name='billing_invoice_issued_complete', violation_error_code='invoice-incomplete', violation_error_message='An issued invoice has number, days, seller and buyer; a draft has no number.'),
        ),
        migrations.AddConstraint(
            model_name='invoice',
            constraint=models.UniqueConstraint(fields=('series', 'sequence'), name='billing_invoice_number_once', violation_error_code='number-taken', violation_error_message='An invoice of this number exists already.'),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='numberseries',
            trigger=pgtrigger.compiler.Trigger(name='billing_numberseries_by_one', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF NEW.last_number <> OLD.last_number + 1 OR NEW.code <> OLD.code OR NEW.year <> OLD.year THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_numberseries_by_one',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Numbers are given out one after the other.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='8e07b71c543addebf38effdd20e6a2a1d2014ecc', operation='UPDATE', pgid='pgtrigger_billing_numberseries_by_one_531c7', table='billing_numberseries', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='numberseries',
            trigger=pgtrigger.compiler.Trigger(name='billing_numberseries_no_gap', sql=pgtrigger.compiler.UpsertTriggerSql(constraint='CONSTRAINT', func="\n            \n            IF NOT EXISTS (SELECT FROM billing_invoice WHERE series_id = NEW.id AND sequence = NEW.last_number) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_numberseries_no_gap',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'A number is given out together with the invoice that bears it.';\n            END IF;\n            RETURN NULL;\n        ", hash='12af91739b0983d95bb9592dbfb0a1f8a80eabc9', operation='UPDATE', pgid='pgtrigger_billing_numberseries_no_gap_74131', table='billing_numberseries', timing='DEFERRABLE INITIALLY DEFERRED', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='numberseries',
            trigger=pgtrigger.compiler.Trigger(name='billing_numberseries_from_nothing', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF NEW.last_number <> 0 THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_numberseries_from_nothing',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'A new series starts with no number given out.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='acd0cbb4f49665bb03805dcc5006eeab6b8de3e5', operation='INSERT', pgid='pgtrigger_billing_numberseries_from_nothing_e93ea', table='billing_numberseries', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='numberseries',
            trigger=pgtrigger.compiler.Trigger(name='billing_numberseries_kept', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_numberseries_kept',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'A series is kept for as long as its numbers count.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='6c3a471eaf885f2c0b6e113a189d525a2bc0d150', operation='DELETE', pgid='pgtrigger_billing_numberseries_kept_32b93', table='billing_numberseries', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='numberseries',
            trigger=pgtrigger.compiler.Trigger(name='billing_numberseries_no_truncate', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_numberseries_no_truncate',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'A series is kept.';\n            END IF;\n            RETURN NULL;\n        ", hash='51413dc10456f1c75219151075f5322e0f80fce3', level='STATEMENT', operation='TRUNCATE', pgid='pgtrigger_billing_numberseries_no_truncate_fa192', table='billing_numberseries', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='fee',
            trigger=pgtrigger.compiler.Trigger(name='insert_insert', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "billing_feeevent" ("amount", "code", "id", "kind", "name", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "provenance", "source", "tax_category_id") VALUES (NEW."amount", NEW."code", NEW."id", NEW."kind", NEW."name", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."provenance", NEW."source", NEW."tax_category_id"); RETURN NULL;', hash='6aa93637b28220a1a15f82dacfe29205819b427f', operation='INSERT', pgid='pgtrigger_insert_insert_4e5dd', table='billing_fee', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='fee',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD."amount" IS DISTINCT FROM (NEW."amount") OR OLD."code" IS DISTINCT FROM (NEW."code") OR OLD."id" IS DISTINCT FROM (NEW."id") OR OLD."kind" IS DISTINCT FROM (NEW."kind") OR OLD."name" IS DISTINCT FROM (NEW."name") OR OLD."provenance" IS DISTINCT FROM (NEW."provenance") OR OLD."source" IS DISTINCT FROM (NEW."source") OR OLD."tax_category_id" IS DISTINCT FROM (NEW."tax_category_id"))', func='INSERT INTO "billing_feeevent" ("amount", "code", "id", "kind", "name", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "provenance", "source", "tax_category_id") VALUES (NEW."amount", NEW."code", NEW."id", NEW."kind", NEW."name", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."provenance", NEW."source", NEW."tax_category_id"); RETURN NULL;', hash='af3c717894abf32ec664d9f955ce7fb7e0c8930a', operation='UPDATE', pgid='pgtrigger_update_update_4017c', table='billing_fee', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='fee',
            trigger=pgtrigger.compiler.Trigger(name='delete_delete', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "billing_feeevent" ("amount", "code", "id", "kind", "name", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "provenance", "source", "tax_category_id") VALUES (OLD."amount", OLD."code", OLD."id", OLD."kind", OLD."name", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."provenance", OLD."source", OLD."tax_category_id"); RETURN NULL;', hash='68c83e606f2b04aa0ddfce7ba3facf32035d8f05', operation='DELETE', pgid='pgtrigger_delete_delete_1832e', table='billing_fee', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='feeevent',
            trigger=pgtrigger.compiler.Trigger(name='append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="RAISE EXCEPTION 'pgtrigger: Cannot update or delete rows from % table', TG_TABLE_NAME;", hash='e19e4a50722781f1b6a93c066c2f548403c8ca27', operation='UPDATE OR DELETE', pgid='pgtrigger_append_only_2e52e', table='billing_feeevent', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='invoiceline',
            trigger=pgtrigger.compiler.Trigger(name='billing_invoiceline_issued_stays', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            PERFORM FROM billing_invoice WHERE id IN (CASE WHEN TG_OP <> 'INSERT' THEN OLD.invoice_id END, CASE WHEN TG_OP <> 'DELETE' THEN NEW.invoice_id END) FOR SHARE;\n            IF EXISTS (SELECT FROM billing_invoice WHERE status = 'issued' AND id IN (CASE WHEN TG_OP <> 'INSERT' THEN OLD.invoice_id END, CASE WHEN TG_OP <> 'DELETE' THEN NEW.invoice_id END)) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_invoiceline_issued_stays',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Issued invoices are never changed or removed; a credit note corrects them.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='627583be494ff5c741d43de6f8ba3ee8285b1ad2', operation='INSERT OR UPDATE OR DELETE', pgid='pgtrigger_billing_invoiceline_issued_stays_51095', table='billing_invoiceline', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='invoiceline',
            trigger=pgtrigger.compiler.Trigger(name='billing_invoiceline_no_truncate', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_invoiceline_no_truncate',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Issued invoices are never changed or removed; a credit note corrects them.';\n            END IF;\n            RETURN NULL;\n        ", hash='8dedd911866b8594ad76948949104483cfaa55d5', level='STATEMENT', operation='TRUNCATE', pgid='pgtrigger_billing_invoiceline_no_truncate_14588', table='billing_invoiceline', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='invoicestatusnumberevent',
            trigger=pgtrigger.compiler.Trigger(name='append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="RAISE EXCEPTION 'pgtrigger: Cannot update or delete rows from % table', TG_TABLE_NAME;", hash='38614c8c6b3b57a53652991e27e3a933d1d9e99f', operation='UPDATE OR DELETE', pgid='pgtrigger_append_only_84f0e', table='billing_invoicestatusnumberevent', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='invoicetax',
            trigger=pgtrigger.compiler.Trigger(name='billing_invoicetax_issued_stays', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            PERFORM FROM billing_invoice WHERE id IN (CASE WHEN TG_OP <> 'INSERT' THEN OLD.invoice_id END, CASE WHEN TG_OP <> 'DELETE' THEN NEW.invoice_id END) FOR SHARE;\n            IF EXISTS (SELECT FROM billing_invoice WHERE status = 'issued' AND id IN (CASE WHEN TG_OP <> 'INSERT' THEN OLD.invoice_id END, CASE WHEN TG_OP <> 'DELETE' THEN NEW.invoice_id END)) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_invoicetax_issued_stays',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Issued invoices are never changed or removed; a credit note corrects them.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='3baa6798dbc36ae4a4eee7e1becefa6dc9bc752a', operation='INSERT OR UPDATE OR DELETE', pgid='pgtrigger_billing_invoicetax_issued_stays_387b5', table='billing_invoicetax', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='invoicetax',
            trigger=pgtrigger.compiler.Trigger(name='billing_invoicetax_no_truncate', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_invoicetax_no_truncate',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Issued invoices are never changed or removed; a credit note corrects them.';\n            END IF;\n            RETURN NULL;\n        ", hash='55bcdb5e1692c8236f7f4d3f32152a6b9cc4843c', level='STATEMENT', operation='TRUNCATE', pgid='pgtrigger_billing_invoicetax_no_truncate_b0b3f', table='billing_invoicetax', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='labourrate',
            trigger=pgtrigger.compiler.Trigger(name='insert_insert', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "billing_labourrateevent" ("code", "id", "name", "per_hour", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "provenance", "source", "tax_category_id", "valid_from", "valid_until") VALUES (NEW."code", NEW."id", NEW."name", NEW."per_hour", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."provenance", NEW."source", NEW."tax_category_id", NEW."valid_from", NEW."valid_until"); RETURN NULL;', hash='9028093dac326b93cc584430832895d3f34d4640', operation='INSERT', pgid='pgtrigger_insert_insert_af4ab', table='billing_labourrate', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='labourrate',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD."code" IS DISTINCT FROM (NEW."code") OR OLD."id" IS DISTINCT FROM (NEW."id") OR OLD."name" IS DISTINCT FROM (NEW."name") OR OLD."per_hour" IS DISTINCT FROM (NEW."per_hour") OR OLD."provenance" IS DISTINCT FROM (NEW."provenance") OR OLD."source" IS DISTINCT FROM (NEW."source") OR OLD."tax_category_id" IS DISTINCT FROM (NEW."tax_category_id") OR OLD."valid_from" IS DISTINCT FROM (NEW."valid_from") OR OLD."valid_until" IS DISTINCT FROM (NEW."valid_until"))', func='INSERT INTO "billing_labourrateevent" ("code", "id", "name", "per_hour", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "provenance", "source", "tax_category_id", "valid_from", "valid_until") VALUES (NEW."code", NEW."id", NEW."name", NEW."per_hour", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."provenance", NEW."source", NEW."tax_category_id", NEW."valid_from", NEW."valid_until"); RETURN NULL;', hash='a6a3b033d6214212f8e44189b4451966a15222cc', operation='UPDATE', pgid='pgtrigger_update_update_72f90', table='billing_labourrate', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='labourrate',
            trigger=pgtrigger.compiler.Trigger(name='delete_delete', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "billing_labourrateevent" ("code", "id", "name", "per_hour", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "provenance", "source", "tax_category_id", "valid_from", "valid_until") VALUES (OLD."code", OLD."id", OLD."name", OLD."per_hour", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."provenance", OLD."source", OLD."tax_category_id", OLD."valid_from", OLD."valid_until"); RETURN NULL;', hash='ca81307f8635693fcbdea1605304815ede75db1e', operation='DELETE', pgid='pgtrigger_delete_delete_3fd7f', table='billing_labourrate', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='labourrateevent',
            trigger=pgtrigger.compiler.Trigger(name='append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="RAISE EXCEPTION 'pgtrigger: Cannot update or delete rows from % table', TG_TABLE_NAME;", hash='b28b77d658c2cf1bf1e3f738ed4980e3d3c0d772', operation='UPDATE OR DELETE', pgid='pgtrigger_append_only_d7fc5', table='billing_labourrateevent', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='payment',
            trigger=pgtrigger.compiler.Trigger(name='billing_payment_append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_payment_append_only',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Payments are never changed or removed; add a correcting one.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='65aeb7bcd720e795181a60aba34d2223b9b83a26', operation='UPDATE OR DELETE', pgid='pgtrigger_billing_payment_append_only_07d15', table='billing_payment', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='payment',
            trigger=pgtrigger.compiler.Trigger(name='billing_payment_no_truncate', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_payment_no_truncate',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Payments are never changed or removed; add a correcting one.';\n            END IF;\n            RETURN NULL;\n        ", hash='755eff0ed7587dcc0fe53b4c4cdd8aba1ea576cb', level='STATEMENT', operation='TRUNCATE', pgid='pgtrigger_billing_payment_no_truncate_74611', table='billing_payment', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='payment',
            trigger=pgtrigger.compiler.Trigger(name='billing_payment_within_due', sql=pgtrigger.compiler.UpsertTriggerSql(declare='DECLARE due numeric;', func="\n            \n                    SELECT gross_total INTO due FROM billing_invoice\n                        WHERE id = NEW.invoice_id AND status = 'issued' FOR UPDATE;\n                \n            IF due IS NULL OR due < (SELECT sum(amount) FROM billing_payment WHERE invoice_id = NEW.invoice_id) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_payment_within_due',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'That is more than is still due on an issued invoice.';\n            END IF;\n            RETURN NULL;\n        ", hash='a244bffea4bd9635484e837205cb840a913c995c', operation='INSERT', pgid='pgtrigger_billing_payment_within_due_def4b', table='billing_payment', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quote',
            trigger=pgtrigger.compiler.Trigger(name='billing_quote_status_edge', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF OLD.status IS DISTINCT FROM NEW.status AND (OLD.status, NEW.status) NOT IN (('offered', 'approved'), ('offered', 'declined'), ('offered', 'withdrawn'), ('offered', 'expired'), ('approved', 'withdrawn'), ('approved', 'completed')) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_quote_status_edge',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The present status does not allow this change.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='c8238eaa4a8728953b46861ff3de3c45f6057488', operation='UPDATE OF "status"', pgid='pgtrigger_billing_quote_status_edge_5519e', table='billing_quote', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quote',
            trigger=pgtrigger.compiler.Trigger(name='billing_quote_status_first', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF NEW.status <> 'offered' THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_quote_status_first',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'A new row starts with the status offered.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='3abf1813a6df9081cdcc6147f262d7090836c00e', operation='INSERT', pgid='pgtrigger_billing_quote_status_first_a95d9', table='billing_quote', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quote',
            trigger=pgtrigger.compiler.Trigger(name='billing_quote_totals_tie', sql=pgtrigger.compiler.UpsertTriggerSql(constraint='CONSTRAINT', func="\n            \n            IF \n                EXISTS (\n                    SELECT FROM billing_quote AS document,\n                        LATERAL (SELECT COALESCE(sum(net_amount), 0) AS net\n                                 FROM billing_quoteline WHERE quote_id = document.id) AS lines,\n                        LATERAL (SELECT COALESCE(sum(taxable_amount), 0) AS net,\n                                        COALESCE(sum(tax_amount), 0) AS tax\n                                 FROM billing_quotetax WHERE quote_id = document.id) AS taxes\n                    WHERE document.id = NEW.id AND (document.net_total <> lines.net\n                        OR document.net_total <> taxes.net OR document.tax_total <> taxes.tax))\n             THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_quote_totals_tie',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The totals are not those of the lines and taxes.';\n            END IF;\n            RETURN NULL;\n        ", hash='6239be6672149cf69adf964e6b4218de8d9fd4dc', operation='INSERT OR UPDATE', pgid='pgtrigger_billing_quote_totals_tie_46f07', table='billing_quote', timing='DEFERRABLE INITIALLY DEFERRED', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quote',
            trigger=pgtrigger.compiler.Trigger(name='billing_quote_promise_fixed', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF OLD.examination_id IS DISTINCT FROM NEW.examination_id OR OLD.client_id IS DISTINCT FROM NEW.client_id OR OLD.bag_id IS DISTINCT FROM NEW.bag_id OR OLD.from_place_id IS DISTINCT FROM NEW.from_place_id OR OLD.made_at IS DISTINCT FROM NEW.made_at OR OLD.made_by_id IS DISTINCT FROM NEW.made_by_id OR OLD.valid_until IS DISTINCT FROM NEW.valid_until OR OLD.currency IS DISTINCT FROM NEW.currency OR OLD.minor_units IS DISTINCT FROM NEW.minor_units OR OLD.net_total IS DISTINCT FROM NEW.net_total OR OLD.tax_total IS DISTINCT FROM NEW.tax_total OR OLD.gross_total IS DISTINCT FROM NEW.gross_total OR OLD.net_low IS DISTINCT FROM NEW.net_low OR OLD.net_high IS DISTINCT FROM NEW.net_high OR OLD.minutes_low IS DISTINCT FROM NEW.minutes_low OR OLD.minutes_likely IS DISTINCT FROM NEW.minutes_likely OR OLD.minutes_high IS DISTINCT FROM NEW.minutes_high OR OLD.diagnosis IS DISTINCT FROM NEW.diagnosis THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_quote_promise_fixed',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'What a quote promised never changes; make a new one.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='c9b2c72b05fcb145c2bf2afad7ba564c321272e6', operation='UPDATE', pgid='pgtrigger_billing_quote_promise_fixed_b69da', table='billing_quote', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quote',
            trigger=pgtrigger.compiler.Trigger(name='billing_quote_kept', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_quote_kept',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Quotes are kept; withdraw it instead.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='da2a940f37a0963ab523601d60d218338de87165', operation='DELETE', pgid='pgtrigger_billing_quote_kept_66c9e', table='billing_quote', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quote',
            trigger=pgtrigger.compiler.Trigger(name='billing_quote_no_truncate', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_quote_no_truncate',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Quotes are kept; withdraw it instead.';\n            END IF;\n            RETURN NULL;\n        ", hash='2897c8f8fa0f1a10bf2a08972683db68e25ea0ab', level='STATEMENT', operation='TRUNCATE', pgid='pgtrigger_billing_quote_no_truncate_f13bc', table='billing_quote', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quote',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD."decided_at" IS DISTINCT FROM (NEW."decided_at") OR OLD."decided_by_name" IS DISTINCT FROM (NEW."decided_by_name") OR OLD."decision_reason" IS DISTINCT FROM (NEW."decision_reason") OR OLD."status" IS DISTINCT FROM (NEW."status"))', func='INSERT INTO "billing_quotestatusdecidedatdecidedbynamedecisionreasonevent" ("decided_at", "decided_by_name", "decision_reason", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "status") VALUES (NEW."decided_at", NEW."decided_by_name", NEW."decision_reason", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."status"); RETURN NULL;', hash='a9db47c4f41bd4a9d3528900c665ae3cbb0d7d5b', operation='UPDATE', pgid='pgtrigger_update_update_43b65', table='billing_quote', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='invoice',
            trigger=pgtrigger.compiler.Trigger(name='billing_invoice_status_edge', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF OLD.status IS DISTINCT FROM NEW.status AND (OLD.status, NEW.status) NOT IN (('draft', 'issued')) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_invoice_status_edge',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The present status does not allow this change.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='991f3f62135c90191e0b72274ea4418daac1739e', operation='UPDATE OF "status"', pgid='pgtrigger_billing_invoice_status_edge_5aa74', table='billing_invoice', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='invoice',
            trigger=pgtrigger.compiler.Trigger(name='billing_invoice_status_first', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF NEW.status <> 'draft' THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_invoice_status_first',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'A new row starts with the status draft.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='bff7b742cbd2c1692373c03fee77de3a963200fd', operation='INSERT', pgid='pgtrigger_billing_invoice_status_first_25dbc', table='billing_invoice', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='invoice',
            trigger=pgtrigger.compiler.Trigger(name='billing_invoice_totals_tie', sql=pgtrigger.compiler.UpsertTriggerSql(constraint='CONSTRAINT', func="\n            \n            IF \n                EXISTS (\n                    SELECT FROM billing_invoice AS document,\n                        LATERAL (SELECT COALESCE(sum(net_amount), 0) AS net\n                                 FROM billing_invoiceline WHERE invoice_id = document.id) AS lines,\n                        LATERAL (SELECT COALESCE(sum(taxable_amount), 0) AS net,\n                                        COALESCE(sum(tax_amount), 0) AS tax\n                                 FROM billing_invoicetax WHERE invoice_id = document.id) AS taxes\n                    WHERE document.id = NEW.id AND (document.net_total <> lines.net\n                        OR document.net_total <> taxes.net OR document.tax_total <> taxes.tax))\n             THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_invoice_totals_tie',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The totals are not those of the lines and taxes.';\n            END IF;\n            RETURN NULL;\n        ", hash='6f6bd04342adad50e1a7d2bfcb70476ee6443e12', operation='INSERT OR UPDATE', pgid='pgtrigger_billing_invoice_totals_tie_a0f41', table='billing_invoice', timing='DEFERRABLE INITIALLY DEFERRED', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='invoice',
            trigger=pgtrigger.compiler.Trigger(name='billing_invoice_issued_stays', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF OLD.status = 'issued' THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_invoice_issued_stays',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Issued invoices are never changed or removed; a credit note corrects them.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='187b21a3b81adc47b778d73577762a6f4a40593c', operation='UPDATE OR DELETE', pgid='pgtrigger_billing_invoice_issued_stays_8a53b', table='billing_invoice', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='invoice',
            trigger=pgtrigger.compiler.Trigger(name='billing_invoice_next_number', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF NEW.status = 'issued' AND NOT EXISTS (SELECT FROM billing_numberseries WHERE id = NEW.series_id AND last_number = NEW.sequence) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_invoice_next_number',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'An invoice takes the number its series gave out last.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='ad6d064e09c08dd1f755f1d87774d97f0d2c4a5c', operation='UPDATE', pgid='pgtrigger_billing_invoice_next_number_b970c', table='billing_invoice', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='invoice',
            trigger=pgtrigger.compiler.Trigger(name='billing_invoice_no_truncate', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_invoice_no_truncate',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Issued invoices are never changed or removed; a credit note corrects them.';\n            END IF;\n            RETURN NULL;\n        ", hash='169fdb411669d20949234c72c8b264d4e16a3919', level='STATEMENT', operation='TRUNCATE', pgid='pgtrigger_billing_invoice_no_truncate_291a1', table='billing_invoice', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='invoice',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD."number" IS DISTINCT FROM (NEW."number") OR OLD."status" IS DISTINCT FROM (NEW."status"))', func='INSERT INTO "billing_invoicestatusnumberevent" ("number", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "status") VALUES (NEW."number", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."status"); RETURN NULL;', hash='b4f842f782f084b209130b9372d420fcf76fd1b3', operation='UPDATE', pgid='pgtrigger_update_update_28c43', table='billing_invoice', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='bagline',
            trigger=pgtrigger.compiler.Trigger(name='billing_bagline_append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_bagline_append_only',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Bag lines are never changed or removed; add a correcting one.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='1ea7f2d8ccbdc35a8c797b7ea875565d02fe3903', operation='UPDATE OR DELETE', pgid='pgtrigger_billing_bagline_append_only_07146', table='billing_bagline', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='bagline',
            trigger=pgtrigger.compiler.Trigger(name='billing_bagline_no_truncate', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_bagline_no_truncate',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Bag lines are never changed or removed; add a correcting one.';\n            END IF;\n            RETURN NULL;\n        ", hash='a5953b0606101b2ad5e21f35ae6b4edbfba8700f', level='STATEMENT', operation='TRUNCATE', pgid='pgtrigger_billing_bagline_no_truncate_ebcca', table='billing_bagline', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quoteline',
            trigger=pgtrigger.compiler.Trigger(name='billing_quoteline_append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_quoteline_append_only',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Quote lines are never changed or removed; add a correcting one.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='d45d622a015becbc235854ba7a6fbab9380e0464', operation='UPDATE OR DELETE', pgid='pgtrigger_billing_quoteline_append_only_b56f7', table='billing_quoteline', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quoteline',
            trigger=pgtrigger.compiler.Trigger(name='billing_quoteline_no_truncate', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_quoteline_no_truncate',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Quote lines are never changed or removed; add a correcting one.';\n            END IF;\n            RETURN NULL;\n        ", hash='fa2cfe66874db7c18e6475e1f62fc6e8473d328c', level='STATEMENT', operation='TRUNCATE', pgid='pgtrigger_billing_quoteline_no_truncate_426c8', table='billing_quoteline', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quoteline',
            trigger=pgtrigger.compiler.Trigger(name='billing_quoteline_all_at_once', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF (SELECT count(*) FROM billing_quoteline WHERE quote_id = ANY (ARRAY(SELECT DISTINCT quote_id FROM new_rows))) <> (SELECT count(*) FROM new_rows) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_quoteline_all_at_once',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'A quote keeps the lines it was made with.';\n            END IF;\n            RETURN NULL;\n        ", hash='2f5dd0a125b180be7df8f8f46761535792aeb062', level='STATEMENT', operation='INSERT', pgid='pgtrigger_billing_quoteline_all_at_once_6cf48', referencing='REFERENCING NEW TABLE AS new_rows ', table='billing_quoteline', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quotestatusdecidedatdecidedbynamedecisionreasonevent',
            trigger=pgtrigger.compiler.Trigger(name='append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="RAISE EXCEPTION 'pgtrigger: Cannot update or delete rows from % table', TG_TABLE_NAME;", hash='742ed0e5dba10173e64dddc5ac1419c9049f4d3c', operation='UPDATE OR DELETE', pgid='pgtrigger_append_only_5ecbc', table='billing_quotestatusdecidedatdecidedbynamedecisionreasonevent', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quotetax',
            trigger=pgtrigger.compiler.Trigger(name='billing_quotetax_append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_quotetax_append_only',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Quote taxes are never changed or removed; add a correcting one.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='c5801e767c3667af56902546a49f04ceb953ff92', operation='UPDATE OR DELETE', pgid='pgtrigger_billing_quotetax_append_only_f80ec', table='billing_quotetax', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quotetax',
            trigger=pgtrigger.compiler.Trigger(name='billing_quotetax_no_truncate', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_quotetax_no_truncate',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Quote taxes are never changed or removed; add a correcting one.';\n            END IF;\n            RETURN NULL;\n        ", hash='9fa6ffe03341bebd646efe07c3e79061c3376212', level='STATEMENT', operation='TRUNCATE', pgid='pgtrigger_billing_quotetax_no_truncate_96e30', table='billing_quotetax', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='quotetax',
            trigger=pgtrigger.compiler.Trigger(name='billing_quotetax_all_at_once', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF (SELECT count(*) FROM billing_quotetax WHERE quote_id = ANY (ARRAY(SELECT DISTINCT quote_id FROM new_rows))) <> (SELECT count(*) FROM new_rows) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'billing_quotetax_all_at_once',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'A quote keeps the taxes it was made with.';\n            END IF;\n            RETURN NULL;\n        ", hash='4c07714c3d1daf5c5d765f569078c4cc7e581743', level='STATEMENT', operation='INSERT', pgid='pgtrigger_billing_quotetax_all_at_once_423df', referencing='REFERENCING NEW TABLE AS new_rows ', table='billing_quotetax', when='AFTER')),
        ),
    ]
