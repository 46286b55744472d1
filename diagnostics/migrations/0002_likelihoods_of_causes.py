"""What each sign says about each cause; the links that causes had get the shares of new ones."""

import django.contrib.postgres.fields
import django.db.models.deletion
import django.db.models.expressions
from decimal import Decimal
from django.db import migrations, models

# What was linked before goes on being linked; its shares are the columns' defaults until the
# catalogue is loaded again or the shop says better. Foreign keys are checked at once, since a
# table with checks still due cannot be altered.
COPIED = """
    INSERT INTO diagnostics_causecheck (cause_id, check_made_id, positive_share)
        SELECT cause_id, check_id, 0.70 FROM diagnostics_cause_checks;
    INSERT INTO diagnostics_causefault (cause_id, fault_id, share)
        SELECT cause_id, fault_id, 0.40 FROM diagnostics_cause_faults;
    SET CONSTRAINTS ALL IMMEDIATE;
"""
COPIED_BACK = """
    INSERT INTO diagnostics_cause_checks (cause_id, check_id)
        SELECT cause_id, check_made_id FROM diagnostics_causecheck;
    INSERT INTO diagnostics_cause_faults (cause_id, fault_id)
        SELECT cause_id, fault_id FROM diagnostics_causefault;
    SET CONSTRAINTS ALL IMMEDIATE;
"""


class Migration(migrations.Migration):

    dependencies = [
        ('diagnostics', '0001_tables'),
    ]

    operations = [
        migrations.AddField(
            model_name='cause',
            name='age_middle',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.45'), max_digits=5),
        ),
        migrations.AddField(
            model_name='cause',
            name='age_new',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.15'), max_digits=5),
        ),
        migrations.AddField(
            model_name='cause',
            name='age_old',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.40'), max_digits=5),
        ),
        migrations.AddField(
            model_name='cause',
            name='complaint_words',
            field=django.contrib.postgres.fields.ArrayField(base_field=models.CharField(max_length=30), blank=True, default=list, size=None),
        ),
        migrations.AddField(
            model_name='cause',
            name='cured_by_room',
            field=models.BooleanField(default=False),
        ),
        migrations.AddField(
            model_name='cause',
            name='found_on',
            field=models.CharField(choices=[('any', 'Any note'), ('naturals', 'Naturals only'), ('sharps', 'Sharps only'), ('end-keys', 'The lowest and the highest note only')], default='any', max_length=10),
        ),
        migrations.AddField(
            model_name='cause',
            name='prior_weight',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.01'), max_digits=5),
        ),
        migrations.AddField(
            model_name='cause',
            name='room_damp',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.25'), max_digits=5),
        ),
        migrations.AddField(
            model_name='cause',
            name='room_dry',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.20'), max_digits=5),
        ),
        migrations.AddField(
            model_name='cause',
            name='room_in_range',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.40'), max_digits=5),
        ),
        migrations.AddField(
            model_name='cause',
            name='room_swung',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.15'), max_digits=5),
        ),
        migrations.AddField(
            model_name='cause',
            name='spread_cluster',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.15'), max_digits=5),
        ),
        migrations.AddField(
            model_name='cause',
            name='spread_everywhere',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.15'), max_digits=5),
        ),
        migrations.AddField(
            model_name='cause',
            name='spread_isolated',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.50'), max_digits=5),
        ),
        migrations.AddField(
            model_name='cause',
            name='spread_naturals',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.05'), max_digits=5),
        ),
        migrations.AddField(
            model_name='cause',
            name='spread_section',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.10'), max_digits=5),
        ),
        migrations.AddField(
            model_name='cause',
            name='spread_sharps',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.05'), max_digits=5),
        ),
        migrations.AddField(
            model_name='check',
            name='false_positive_share',
            field=models.DecimalField(decimal_places=4, default=Decimal('0.10'), max_digits=5),
        ),
        migrations.AddField(
            model_name='check',
            name='restates_room_and_spread',
            field=models.BooleanField(default=False),
        ),
        migrations.AddConstraint(
            model_name='check',
            constraint=models.CheckConstraint(condition=models.Q(('false_positive_share__gt', 0), ('false_positive_share__lt', 1)), name='diagnostics_check_false_positive_within', violation_error_code='share-absurd', violation_error_message='False positives are a share between 0 and 1.'),
        ),
        migrations.AddConstraint(
            model_name='cause',
            constraint=models.CheckConstraint(condition=models.Q(('prior_weight__gt', 0), ('prior_weight__lt', 1)), name='diagnostics_cause_prior_within', violation_error_code='share-absurd', violation_error_message='The weight of a cause lies between 0 and 1.'),
        ),
        migrations.AddConstraint(
            model_name='cause',
            constraint=models.CheckConstraint(condition=models.Q(('found_on__in', ['any', 'naturals', 'sharps', 'end-keys'])), name='diagnostics_cause_found_on_known', violation_error_code='found-on-unknown', violation_error_message='A cause is found on any, naturals, sharps, end-keys.'),
        ),
        migrations.AddConstraint(
            model_name='cause',
            constraint=models.CheckConstraint(condition=models.Q(('spread_cluster__gt', 0), ('spread_everywhere__gt', 0), ('spread_isolated', django.db.models.expressions.CombinedExpression(models.Value(Decimal('1')), '-', django.db.models.expressions.CombinedExpression(django.db.models.expressions.CombinedExpression(django.db.models.expressions.CombinedExpression(django.db.models.expressions.CombinedExpression(models.F('spread_cluster'), '+', models.F('spread_naturals')), '+', models.F('spread_sharps')), '+', models.F('spread_section')), '+', models.F('spread_everywhere')))), ('spread_isolated__gt', 0), ('spread_naturals__gt', 0), ('spread_section__gt', 0), ('spread_sharps__gt', 0)), name='diagnostics_cause_spread_whole', violation_error_code='shares-not-whole', violation_error_message='The shares of the kinds of spread are above 0 and add up to 1.'),
        ),
        migrations.AddConstraint(
            model_name='cause',
            constraint=models.CheckConstraint(condition=models.Q(('room_damp__gt', 0), ('room_dry', django.db.models.expressions.CombinedExpression(models.Value(Decimal('1')), '-', django.db.models.expressions.CombinedExpression(django.db.models.expressions.CombinedExpression(models.F('room_in_range'), '+', models.F('room_damp')), '+', models.F('room_swung')))), ('room_dry__gt', 0), ('room_in_range__gt', 0), ('room_swung__gt', 0)), name='diagnostics_cause_room_whole', violation_error_code='shares-not-whole', violation_error_message='The shares of the states of the room are above 0 and add up to 1.'),
        ),
        migrations.AddConstraint(
            model_name='cause',
            constraint=models.CheckConstraint(condition=models.Q(('age_middle__gt', 0), ('age_new', django.db.models.expressions.CombinedExpression(models.Value(Decimal('1')), '-', django.db.models.expressions.CombinedExpression(models.F('age_middle'), '+', models.F('age_old')))), ('age_new__gt', 0), ('age_old__gt', 0)), name='diagnostics_cause_age_whole', violation_error_code='shares-not-whole', violation_error_message='The shares of the ages of the instrument are above 0 and add up to 1.'),
        ),
        migrations.CreateModel(
            name='CauseCheck',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('cause', models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.CASCADE, related_name='cause_checks', to='diagnostics.cause')),
                ('check_made', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='cause_checks', to='diagnostics.check')),
                ('positive_share', models.DecimalField(decimal_places=4, default=Decimal('0.70'), max_digits=5)),
            ],
        ),
        migrations.CreateModel(
            name='CauseFault',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('cause', models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.CASCADE, related_name='cause_faults', to='diagnostics.cause')),
                ('fault', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='cause_faults', to='diagnostics.fault')),
                ('share', models.DecimalField(decimal_places=4, default=Decimal('0.40'), max_digits=5)),
            ],
        ),
        migrations.AddConstraint(
            model_name='causecheck',
            constraint=models.UniqueConstraint(fields=('cause', 'check_made'), name='diagnostics_causecheck_once', violation_error_code='check-named-twice', violation_error_message='A cause names each check once.'),
        ),
        migrations.AddConstraint(
            model_name='causecheck',
            constraint=models.CheckConstraint(condition=models.Q(('positive_share__gt', 0), ('positive_share__lt', 1)), name='diagnostics_causecheck_share_within', violation_error_code='share-absurd', violation_error_message='A check is positive in a share of cases between 0 and 1.'),
        ),
        migrations.AddConstraint(
            model_name='causefault',
            constraint=models.UniqueConstraint(fields=('cause', 'fault'), name='diagnostics_causefault_once', violation_error_code='fault-named-twice', violation_error_message='A cause names each fault once.'),
        ),
        migrations.AddConstraint(
            model_name='causefault',
            constraint=models.CheckConstraint(condition=models.Q(('share__gt', 0), ('share__lt', 1)), name='diagnostics_causefault_share_within', violation_error_code='share-absurd', violation_error_message='A fault shows in a share of cases between 0 and 1.'),
        ),
        migrations.RunSQL(COPIED, COPIED_BACK),
        migrations.RemoveField(
            model_name='cause',
            name='checks',
        ),
        migrations.RemoveField(
            model_name='cause',
            name='faults',
        ),
        migrations.AddField(
            model_name='cause',
            name='checks',
            field=models.ManyToManyField(related_name='causes', through='diagnostics.CauseCheck', to='diagnostics.check'),
        ),
        migrations.AddField(
            model_name='cause',
            name='faults',
            field=models.ManyToManyField(related_name='causes', through='diagnostics.CauseFault', to='diagnostics.fault'),
        ),
    ]
