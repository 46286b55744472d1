"""The tables, their constraints and their guards."""

import django.contrib.auth.models
import django.contrib.auth.validators
import django.contrib.postgres.constraints
import django.contrib.postgres.fields.ranges
import django.db.models.deletion
import django.utils.timezone
import pgtrigger.compiler
import pgtrigger.migrations
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('auth', '0012_alter_user_first_name_max_length'),
        ('pghistory', '0007_auto_20250421_0444'),
    ]

    operations = [
        migrations.CreateModel(
            name='Part',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=60, unique=True)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('shipped_digest', models.CharField(blank=True, editable=False, max_length=64)),
                ('category', models.CharField(choices=[('centre_pin', 'Centre pin'), ('key_punching', 'Key punching'), ('bushing_cloth', 'Bushing cloth'), ('key_pin', 'Key pin'), ('spring', 'Spring'), ('cord_and_strap', 'Cord and strap'), ('felt_and_leather', 'Felt and leather'), ('glue', 'Glue'), ('wire_and_string', 'Wire and string'), ('tuning_pin', 'Tuning pin'), ('key_part', 'Key part'), ('action_part', 'Action part'), ('screw_and_hardware', 'Screw and hardware'), ('consumable', 'Consumable'), ('humidity', 'Humidity control')], max_length=30)),
                ('unit', models.CharField(choices=[('piece', 'piece'), ('metre', 'm'), ('square_metre', 'm²'), ('millilitre', 'ml'), ('gram', 'g'), ('sheet', 'sheet')], default='piece', max_length=20)),
                ('pack_quantity', models.DecimalField(decimal_places=3, default=1, max_digits=12)),
                ('size_scheme', models.CharField(blank=True, choices=[('inch', 'Inch (20 is 1.270 mm)'), ('metric', 'Metric (20 is 1.250 mm)')], max_length=10)),
                ('size_label', models.CharField(blank=True, max_length=10)),
                ('diameter_um', models.PositiveIntegerField(blank=True, null=True)),
                ('thickness_um', models.PositiveIntegerField(blank=True, null=True)),
                ('outer_diameter_um', models.PositiveIntegerField(blank=True, null=True)),
                ('strip_width_mm', models.DecimalField(blank=True, decimal_places=2, max_digits=7, null=True)),
                ('price', models.DecimalField(decimal_places=4, max_digits=14)),
                ('cost', models.DecimalField(decimal_places=4, max_digits=14)),
                ('supplier_part_number', models.CharField(blank=True, max_length=100)),
                ('lead_time_days', models.PositiveSmallIntegerField(default=7)),
                ('is_active', models.BooleanField(default=True)),
            ],
            options={
                'ordering': ['code'],
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Instrument',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('action', models.CharField(choices=[('upright', 'Upright'), ('spinet', 'Spinet (drop action)'), ('grand', 'Grand')], max_length=20)),
                ('maker', models.CharField(max_length=100)),
                ('model', models.CharField(blank=True, max_length=100)),
                ('serial_number', models.CharField(blank=True, max_length=50)),
                ('built_year', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('lowest_midi', models.PositiveSmallIntegerField(default=21)),
                ('highest_midi', models.PositiveSmallIntegerField(default=108)),
                ('key_covering', models.CharField(blank=True, max_length=100)),
                ('notes', models.TextField(blank=True)),
            ],
        ),
        migrations.CreateModel(
            name='User',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('password', models.CharField(max_length=128, verbose_name='password')),
                ('last_login', models.DateTimeField(blank=True, null=True, verbose_name='last login')),
                ('is_superuser', models.BooleanField(default=False, help_text='Designates that this user has all permissions without explicitly assigning them.', verbose_name='superuser status')),
                ('username', models.CharField(error_messages={'unique': 'A user with that username already exists.'}, help_text='Required. 150 characters or fewer. Letters, digits and @/./+/-/_ only.', max_length=150, unique=True, validators=[django.contrib.auth.validators.UnicodeUsernameValidator()], verbose_name='username')),
                ('first_name', models.CharField(blank=True, max_length=150, verbose_name='first name')),
                ('last_name', models.CharField(blank=True, max_length=150, verbose_name='last name')),
                ('email', models.EmailField(blank=True, max_length=254, verbose_name='email address')),
                ('is_staff', models.BooleanField(default=False, help_text='Designates whether the user can log into this admin site.', verbose_name='staff status')),
                ('is_active', models.BooleanField(default=True, help_text='Designates whether this user should be treated as active. Unselect this instead of deleting accounts.', verbose_name='active')),
                ('date_joined', models.DateTimeField(default=django.utils.timezone.now, verbose_name='date joined')),
                ('role', models.CharField(choices=[('technician', 'Technician'), ('office', 'Office'), ('owner', 'Owner')], default='technician', max_length=20)),
                ('groups', models.ManyToManyField(blank=True, help_text='The groups this user belongs to. A user will get all permissions granted to each of their groups.', related_name='user_set', related_query_name='user', to='auth.group', verbose_name='groups')),
                ('user_permissions', models.ManyToManyField(blank=True, help_text='Specific permissions for this user.', related_name='user_set', related_query_name='user', to='auth.permission', verbose_name='user permissions')),
            ],
            options={
                'verbose_name': 'user',
                'verbose_name_plural': 'users',
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('role__in', ['technician', 'office', 'owner'])), name='shop_user_role_known', violation_error_code='role-unknown', violation_error_message='The role must be technician, office or owner.')],
            },
            managers=[
                ('objects', django.contrib.auth.models.UserManager()),
            ],
        ),
        migrations.CreateModel(
            name='Client',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('person', 'Person'), ('organisation', 'Organisation')], max_length=20)),
                ('name', models.CharField(max_length=200)),
                ('contact_name', models.CharField(blank=True, max_length=200)),
                ('email', models.EmailField(blank=True, max_length=254)),
                ('phone', models.CharField(blank=True, max_length=50)),
                ('tax_number', models.CharField(blank=True, max_length=50)),
                ('notes', models.TextField(blank=True)),
            ],
            options={
                'indexes': [models.Index(fields=['name', 'id'], name='shop_client_by_name')],
                'constraints': [models.CheckConstraint(condition=models.Q(('kind__in', ['person', 'organisation'])), name='shop_client_kind_known', violation_error_code='kind-unknown', violation_error_message='A client is a person or an organisation.'), models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='shop_client_has_name', violation_error_code='name-missing', violation_error_message='A client needs a name.')],
            },
        ),
        migrations.CreateModel(
            name='ClientEvent',
            fields=[
                ('pgh_id', models.AutoField(primary_key=True, serialize=False)),
                ('pgh_created_at', models.DateTimeField(auto_now_add=True)),
                ('pgh_label', models.TextField(help_text='The event label.')),
                ('id', models.BigIntegerField()),
                ('kind', models.CharField(choices=[('person', 'Person'), ('organisation', 'Organisation')], max_length=20)),
                ('name', models.CharField(max_length=200)),
                ('contact_name', models.CharField(blank=True, max_length=200)),
                ('email', models.EmailField(blank=True, max_length=254)),
                ('phone', models.CharField(blank=True, max_length=50)),
                ('tax_number', models.CharField(blank=True, max_length=50)),
                ('notes', models.TextField(blank=True)),
                ('pgh_context', models.ForeignKey(db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='pghistory.context')),
                ('pgh_obj', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='events', to='shop.client')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='FirstAnswer',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('method', models.CharField(max_length=10)),
                ('path', models.CharField(max_length=500)),
                ('key', models.CharField(max_length=255)),
                ('request_digest', models.CharField(max_length=64)),
                ('status', models.PositiveSmallIntegerField(null=True)),
                ('headers', models.JSONField(default=dict)),
                ('body', models.BinaryField(default=b'')),
                ('created_at', models.DateTimeField()),
                ('user', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'indexes': [models.Index(fields=['created_at'], name='shop_firstanswer_by_time')],
                'constraints': [models.UniqueConstraint(fields=('user', 'method', 'path', 'key'), name='shop_firstanswer_one_per_key', violation_error_code='idempotency-key-in-use', violation_error_message='This Idempotency-Key was used for this address before.'), models.CheckConstraint(condition=models.Q(('status__isnull', True), ('status__range', (200, 499)), _connector='OR'), name='shop_firstanswer_status_kept', violation_error_code='status-not-kept', violation_error_message='Only answers from 200 to 499 are kept to be given again.')],
            },
        ),
        migrations.CreateModel(
            name='Holding',
            fields=[
                ('part', models.OneToOneField(on_delete=django.db.models.deletion.DO_NOTHING, primary_key=True, related_name='holding', serialize=False, to='shop.part')),
                ('quantity', models.DecimalField(decimal_places=3, default=0, max_digits=14)),
                ('value', models.DecimalField(decimal_places=3, default=0, max_digits=14)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('quantity__gt', 0), ('value__gte', 0)), models.Q(('quantity', 0), ('value', 0)), _connector='OR'), name='shop_holding_value_with_quantity', violation_error_code='value-without-stock', violation_error_message='What is held has a value, and nothing held has none.')],
            },
        ),
        migrations.CreateModel(
            name='Place',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(choices=[('shelf', 'Shelf'), ('van', 'Van'), ('bag', 'Job bag'), ('supplier', 'Suppliers'), ('used', 'Used'), ('scrapped', 'Scrapped'), ('count_difference', 'Count differences')], max_length=20)),
                ('name', models.CharField(max_length=100, unique=True)),
                ('is_active', models.BooleanField(default=True)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('kind__in', ['shelf', 'van', 'bag', 'supplier', 'used', 'scrapped', 'count_difference'])), name='shop_place_kind_known', violation_error_code='kind-unknown', violation_error_message='The kind of place is not one that the ledger knows.'), models.UniqueConstraint(condition=models.Q(('kind__in', ['supplier', 'used', 'scrapped', 'count_difference'])), fields=('kind',), name='shop_place_one_of_each_outside', violation_error_code='place-exists', violation_error_message='There is one place of this kind already.')],
            },
        ),
        migrations.CreateModel(
            name='Move',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('quantity', models.DecimalField(decimal_places=3, max_digits=14)),
                ('value', models.DecimalField(decimal_places=3, max_digits=14)),
                ('reason', models.CharField(choices=[('received', 'Goods received'), ('bagged', 'Set aside for a job'), ('unbagged', 'Returned from a job bag'), ('fitted', 'Fitted'), ('transferred', 'Moved between shelves and vans'), ('scrapped', 'Scrapped'), ('counted', 'Corrected by a count'), ('returned', 'Returned to the supplier')], max_length=20)),
                ('reference', models.CharField(blank=True, max_length=100)),
                ('moved_at', models.DateTimeField()),
                ('moved_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('part', models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.PROTECT, related_name='moves', to='shop.part')),
                ('from_place', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='moves_out', to='shop.place')),
                ('to_place', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='moves_in', to='shop.place')),
            ],
            options={
                'indexes': [models.Index(fields=['part', 'moved_at', 'id'], name='shop_move_by_part'), models.Index(fields=['moved_at', 'id'], name='shop_move_by_time')],
                'constraints': [models.CheckConstraint(condition=models.Q(('quantity__gt', 0), ('value__gte', 0)), name='shop_move_quantity_positive', violation_error_code='quantity-not-positive', violation_error_message='A move takes more than nothing, at no negative value.'), models.CheckConstraint(condition=models.Q(('from_place', models.F('to_place')), _negated=True), name='shop_move_between_two_places', violation_error_code='same-place', violation_error_message='A move goes from one place to another.'), models.CheckConstraint(condition=models.Q(('reason__in', ['received', 'bagged', 'unbagged', 'fitted', 'transferred', 'scrapped', 'counted', 'returned'])), name='shop_move_reason_known', violation_error_code='reason-unknown', violation_error_message='The reason of a move is not one that the ledger knows.')],
            },
        ),
        migrations.CreateModel(
            name='Level',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('is_held', models.BooleanField()),
                ('quantity', models.DecimalField(decimal_places=3, max_digits=14)),
                ('part', models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.PROTECT, related_name='levels', to='shop.part')),
                ('place', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='levels', to='shop.place')),
            ],
            options={
                'indexes': [models.Index(fields=['place', 'part'], name='shop_level_by_place')],
                'constraints': [models.UniqueConstraint(fields=('part', 'place'), name='shop_level_one_per_part_and_place', violation_error_code='level-exists', violation_error_message='A part has one level at a place.'), models.CheckConstraint(condition=models.Q(('is_held', False), ('quantity__gte', 0), _connector='OR'), name='shop_level_not_negative', violation_error_code='stock-short', violation_error_message='The place holds less of the part than that.')],
            },
        ),
        migrations.CreateModel(
            name='ShopProfile',
            fields=[
                ('id', models.PositiveSmallIntegerField(default=1, primary_key=True, serialize=False)),
                ('name', models.CharField(default='The piano repair shop', max_length=200)),
                ('street', models.CharField(blank=True, max_length=200)),
                ('city', models.CharField(blank=True, max_length=100)),
                ('postcode', models.CharField(blank=True, max_length=20)),
                ('country', models.CharField(blank=True, max_length=2)),
                ('email', models.EmailField(blank=True, max_length=254)),
                ('phone', models.CharField(blank=True, max_length=50)),
                ('is_tax_registered', models.BooleanField(default=False)),
                ('tax_number', models.CharField(blank=True, max_length=50)),
                ('quote_validity_days', models.PositiveSmallIntegerField(default=30)),
                ('payment_days', models.PositiveSmallIntegerField(default=14)),
                ('pin_size_scheme', models.CharField(choices=[('inch', 'Inch (20 is 1.270 mm)'), ('metric', 'Metric (20 is 1.250 mm)')], default='inch', max_length=10)),
                ('humidity_target_percent', models.DecimalField(decimal_places=1, default=42, max_digits=4)),
                ('humidity_lowest_percent', models.DecimalField(decimal_places=1, default=35, max_digits=4)),
                ('humidity_highest_percent', models.DecimalField(decimal_places=1, default=55, max_digits=4)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('id', 1)), name='shop_shopprofile_only_one', violation_error_code='profile-exists', violation_error_message='There is one shop profile; change it instead.'), models.CheckConstraint(condition=models.Q(('humidity_highest_percent__lte', 100), ('humidity_lowest_percent__gte', 0), ('humidity_lowest_percent__lte', models.F('humidity_target_percent')), ('humidity_target_percent__lte', models.F('humidity_highest_percent'))), name='shop_shopprofile_humidity_ordered', violation_error_code='humidity-limits-disordered', violation_error_message='Humidity runs lowest, target, highest, in 0 to 100 %.'), models.CheckConstraint(condition=models.Q(('is_tax_registered', False), models.Q(('tax_number', ''), _negated=True), _connector='OR'), name='shop_shopprofile_tax_number', violation_error_code='tax-number-missing', violation_error_message='A shop registered for tax has a tax number.'), models.CheckConstraint(condition=models.Q(('pin_size_scheme__in', ['inch', 'metric'])), name='shop_shopprofile_pin_scheme_known', violation_error_code='pin-scheme-unknown', violation_error_message='Centre pins are stocked by the inch or metric scheme.'), models.CheckConstraint(condition=models.Q(('payment_days__lte', 366), ('quote_validity_days__range', (1, 366))), name='shop_shopprofile_days_sensible', violation_error_code='days-absurd', violation_error_message='A quote holds 1 to 366 days; payment is due in 366.')],
            },
        ),
        migrations.CreateModel(
            name='ShopProfileEvent',
            fields=[
                ('pgh_id', models.AutoField(primary_key=True, serialize=False)),
                ('pgh_created_at', models.DateTimeField(auto_now_add=True)),
                ('pgh_label', models.TextField(help_text='The event label.')),
                ('id', models.PositiveSmallIntegerField(default=1, serialize=False)),
                ('name', models.CharField(default='The piano repair shop', max_length=200)),
                ('street', models.CharField(blank=True, max_length=200)),
                ('city', models.CharField(blank=True, max_length=100)),
                ('postcode', models.CharField(blank=True, max_length=20)),
                ('country', models.CharField(blank=True, max_length=2)),
                ('email', models.EmailField(blank=True, max_length=254)),
                ('phone', models.CharField(blank=True, max_length=50)),
                ('is_tax_registered', models.BooleanField(default=False)),
                ('tax_number', models.CharField(blank=True, max_length=50)),
                ('quote_validity_days', models.PositiveSmallIntegerField(default=30)),
                ('payment_days', models.PositiveSmallIntegerField(default=14)),
                ('pin_size_scheme', models.CharField(choices=[('inch', 'Inch (20 is 1.270 mm)'), ('metric', 'Metric (20 is 1.250 mm)')], default='inch', max_length=10)),
                ('humidity_target_percent', models.DecimalField(decimal_places=1, default=42, max_digits=4)),
                ('humidity_lowest_percent', models.DecimalField(decimal_places=1, default=35, max_digits=4)),
                ('humidity_highest_percent', models.DecimalField(decimal_places=1, default=55, max_digits=4)),
                ('pgh_context', models.ForeignKey(db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='pghistory.context')),
                ('pgh_obj', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='events', to='shop.shopprofile')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Site',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=200)),
                ('street', models.CharField(blank=True, max_length=200)),
                ('city', models.CharField(blank=True, max_length=100)),
                ('postcode', models.CharField(blank=True, max_length=20)),
                ('country', models.CharField(blank=True, max_length=2)),
                ('access_notes', models.TextField(blank=True)),
                ('travel_minutes', models.PositiveSmallIntegerField(default=0)),
                ('client', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='sites', to='shop.client')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='shop_site_has_name', violation_error_code='name-missing', violation_error_message='A site needs a name.'), models.CheckConstraint(condition=models.Q(('country', ''), ('country__regex', '^[A-Z]{2}$'), _connector='OR'), name='shop_site_country_code', violation_error_code='country-unknown', violation_error_message='The country is two capital letters (ISO 3166-1).'), models.CheckConstraint(condition=models.Q(('travel_minutes__lte', 1440)), name='shop_site_travel_within_a_day', violation_error_code='travel-absurd', violation_error_message='Travel is at most 1440 minutes.')],
            },
        ),
        migrations.CreateModel(
            name='InstrumentEvent',
            fields=[
                ('pgh_id', models.AutoField(primary_key=True, serialize=False)),
                ('pgh_created_at', models.DateTimeField(auto_now_add=True)),
                ('pgh_label', models.TextField(help_text='The event label.')),
                ('id', models.BigIntegerField()),
                ('action', models.CharField(choices=[('upright', 'Upright'), ('spinet', 'Spinet (drop action)'), ('grand', 'Grand')], max_length=20)),
                ('maker', models.CharField(max_length=100)),
                ('model', models.CharField(blank=True, max_length=100)),
                ('serial_number', models.CharField(blank=True, max_length=50)),
                ('built_year', models.PositiveSmallIntegerField(blank=True, null=True)),
                ('lowest_midi', models.PositiveSmallIntegerField(default=21)),
                ('highest_midi', models.PositiveSmallIntegerField(default=108)),
                ('key_covering', models.CharField(blank=True, max_length=100)),
                ('notes', models.TextField(blank=True)),
                ('pgh_context', models.ForeignKey(db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='pghistory.context')),
                ('pgh_obj', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='events', to='shop.instrument')),
                ('site', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to='shop.site')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.AddField(
            model_name='instrument',
            name='site',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='instruments', to='shop.site'),
        ),
        migrations.CreateModel(
            name='SiteEvent',
            fields=[
                ('pgh_id', models.AutoField(primary_key=True, serialize=False)),
                ('pgh_created_at', models.DateTimeField(auto_now_add=True)),
                ('pgh_label', models.TextField(help_text='The event label.')),
                ('id', models.BigIntegerField()),
                ('name', models.CharField(max_length=200)),
                ('street', models.CharField(blank=True, max_length=200)),
                ('city', models.CharField(blank=True, max_length=100)),
                ('postcode', models.CharField(blank=True, max_length=20)),
                ('country', models.CharField(blank=True, max_length=2)),
                ('access_notes', models.TextField(blank=True)),
                ('travel_minutes', models.PositiveSmallIntegerField(default=0)),
                ('client', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to='shop.client')),
                ('pgh_context', models.ForeignKey(db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='pghistory.context')),
                ('pgh_obj', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='events', to='shop.site')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Supplier',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=200, unique=True)),
                ('email', models.EmailField(blank=True, max_length=254)),
                ('phone', models.CharField(blank=True, max_length=50)),
                ('lead_time_days', models.PositiveSmallIntegerField(default=7)),
                ('notes', models.TextField(blank=True)),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('name', ''), _negated=True), name='shop_supplier_has_name', violation_error_code='name-missing', violation_error_message='A supplier needs a name.'), models.CheckConstraint(condition=models.Q(('lead_time_days__lte', 730)), name='shop_supplier_lead_time', violation_error_code='lead-time-absurd', violation_error_message='A lead time is at most 730 days.')],
            },
        ),
        migrations.AddField(
            model_name='part',
            name='supplier',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='parts', to='shop.supplier'),
        ),
        migrations.CreateModel(
            name='SupplierEvent',
            fields=[
                ('pgh_id', models.AutoField(primary_key=True, serialize=False)),
                ('pgh_created_at', models.DateTimeField(auto_now_add=True)),
                ('pgh_label', models.TextField(help_text='The event label.')),
                ('id', models.BigIntegerField()),
                ('name', models.CharField(max_length=200)),
                ('email', models.EmailField(blank=True, max_length=254)),
                ('phone', models.CharField(blank=True, max_length=50)),
                ('lead_time_days', models.PositiveSmallIntegerField(default=7)),
                ('notes', models.TextField(blank=True)),
                ('pgh_context', models.ForeignKey(db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='pghistory.context')),
                ('pgh_obj', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='events', to='shop.supplier')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='TaxCategory',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('code', models.SlugField(max_length=60, unique=True)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('shipped_digest', models.CharField(blank=True, editable=False, max_length=64)),
                ('en16931_code', models.CharField(choices=[('S', 'Standard or reduced rate'), ('Z', 'Zero rated'), ('E', 'Exempt'), ('O', 'Not subject to tax')], max_length=2)),
                ('exemption_reason', models.CharField(blank=True, max_length=200)),
            ],
            options={
                'verbose_name_plural': 'tax categories',
                'ordering': ['code'],
                'abstract': False,
                'constraints': [models.CheckConstraint(condition=models.Q(('provenance__in', ['published', 'common practice', 'from memory', 'estimate', 'shop'])), name='shop_taxcategory_provenance_known', violation_error_code='provenance-unknown', violation_error_message='Provenance is one of published, common practice, from memory, estimate, shop.'), models.CheckConstraint(condition=models.Q(('en16931_code__in', ['S', 'Z', 'E', 'O'])), name='shop_taxcategory_code_known', violation_error_code='tax-code-unknown', violation_error_message='The tax code is S, Z, E or O.')],
            },
        ),
        migrations.CreateModel(
            name='PartEvent',
            fields=[
                ('pgh_id', models.AutoField(primary_key=True, serialize=False)),
                ('pgh_created_at', models.DateTimeField(auto_now_add=True)),
                ('pgh_label', models.TextField(help_text='The event label.')),
                ('id', models.BigIntegerField()),
                ('code', models.SlugField(db_index=False, max_length=60)),
                ('name', models.CharField(max_length=200)),
                ('provenance', models.CharField(blank=True, choices=[('published', 'Published'), ('common practice', 'Common practice'), ('from memory', 'From memory'), ('estimate', 'Estimate'), ('shop', "The shop's own")], default='shop', max_length=20)),
                ('source', models.TextField(blank=True)),
                ('category', models.CharField(choices=[('centre_pin', 'Centre pin'), ('key_punching', 'Key punching'), ('bushing_cloth', 'Bushing cloth'), ('key_pin', 'Key pin'), ('spring', 'Spring'), ('cord_and_strap', 'Cord and strap'), ('felt_and_leather', 'Felt and leather'), ('glue', 'Glue'), ('wire_and_string', 'Wire and string'), ('tuning_pin', 'Tuning pin'), ('key_part', 'Key part'), ('action_part', 'Action part'), ('screw_and_hardware', 'Screw and hardware'), ('consumable', 'Consumable'), ('humidity', 'Humidity control')], max_length=30)),
                ('unit', models.CharField(choices=[('piece', 'piece'), ('metre', 'm'), ('square_metre', 'm²'), ('millilitre', 'ml'), ('gram', 'g'), ('sheet', 'sheet')], default='piece', max_length=20)),
                ('pack_quantity', models.DecimalField(decimal_places=3, default=1, max_digits=12)),
                ('size_scheme', models.CharField(blank=True, choices=[('inch', 'Inch (20 is 1.270 mm)'), ('metric', 'Metric (20 is 1.250 mm)')], max_length=10)),
                ('size_label', models.CharField(blank=True, max_length=10)),
                ('diameter_um', models.PositiveIntegerField(blank=True, null=True)),
                ('thickness_um', models.PositiveIntegerField(blank=True, null=True)),
                ('outer_diameter_um', models.PositiveIntegerField(blank=True, null=True)),
                ('strip_width_mm', models.DecimalField(blank=True, decimal_places=2, max_digits=7, null=True)),
                ('price', models.DecimalField(decimal_places=4, max_digits=14)),
                ('cost', models.DecimalField(decimal_places=4, max_digits=14)),
                ('supplier_part_number', models.CharField(blank=True, max_length=100)),
                ('lead_time_days', models.PositiveSmallIntegerField(default=7)),
                ('is_active', models.BooleanField(default=True)),
                ('pgh_context', models.ForeignKey(db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='pghistory.context')),
                ('pgh_obj', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='events', to='shop.part')),
                ('supplier', models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to='shop.supplier')),
                ('tax_category', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to='shop.taxcategory')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.AddField(
            model_name='part',
            name='tax_category',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='shop.taxcategory'),
        ),
        migrations.CreateModel(
            name='TaxRate',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('percent', models.DecimalField(decimal_places=3, max_digits=6)),
                ('valid_from', models.DateField()),
                ('valid_until', models.DateField(blank=True, null=True)),
                ('category', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='rates', to='shop.taxcategory')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('percent__gte', 0), ('percent__lte', 100)), name='shop_taxrate_percent_sensible', violation_error_code='percent-absurd', violation_error_message='A tax rate lies between 0 and 100 %.'), models.CheckConstraint(condition=models.Q(('valid_until__isnull', True), ('valid_from__lt', models.F('valid_until')), _connector='OR'), name='shop_taxrate_ends_after_start', violation_error_code='dates-disordered', violation_error_message='A rate ends after it starts.'), django.contrib.postgres.constraints.ExclusionConstraint(expressions=[(models.Func(models.F('category'), models.F('category'), models.Value('[]'), function='int8range', output_field=django.contrib.postgres.fields.ranges.BigIntegerRangeField()), '&&'), (models.Func(models.F('valid_from'), models.F('valid_until'), function='daterange', output_field=django.contrib.postgres.fields.ranges.DateRangeField()), '&&')], name='shop_taxrate_no_overlap', violation_error_code='rate-overlaps', violation_error_message='Another rate of the category holds on some of these days.')],
            },
        ),
        migrations.CreateModel(
            name='TaxRateEvent',
            fields=[
                ('pgh_id', models.AutoField(primary_key=True, serialize=False)),
                ('pgh_created_at', models.DateTimeField(auto_now_add=True)),
                ('pgh_label', models.TextField(help_text='The event label.')),
                ('id', models.BigIntegerField()),
                ('percent', models.DecimalField(decimal_places=3, max_digits=6)),
                ('valid_from', models.DateField()),
                ('valid_until', models.DateField(blank=True, null=True)),
                ('category', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to='shop.taxcategory')),
                ('pgh_context', models.ForeignKey(db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='pghistory.context')),
                ('pgh_obj', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='events', to='shop.taxrate')),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Visit',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('starts_at', models.DateTimeField()),
                ('ends_at', models.DateTimeField()),
                ('purpose', models.CharField(blank=True, max_length=200)),
                ('status', models.CharField(choices=[('planned', 'Planned'), ('done', 'Done'), ('cancelled', 'Cancelled')], default='planned', max_length=20)),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='visits', to='shop.site')),
                ('technician', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='visits', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'indexes': [models.Index(fields=['starts_at', 'id'], name='shop_visit_by_start')],
                'constraints': [models.CheckConstraint(condition=models.Q(('starts_at__lt', models.F('ends_at'))), name='shop_visit_ends_after_start', violation_error_code='visit-ends-before-start', violation_error_message='A visit ends after it starts.'), models.CheckConstraint(condition=models.Q(('status__in', ['planned', 'done', 'cancelled'])), name='shop_visit_status_known', violation_error_code='status-unknown', violation_error_message='A visit is planned, done or cancelled.'), django.contrib.postgres.constraints.ExclusionConstraint(condition=models.Q(('status', 'cancelled'), _negated=True), expressions=[(models.Func(models.F('technician'), models.F('technician'), models.Value('[]'), function='int8range', output_field=django.contrib.postgres.fields.ranges.BigIntegerRangeField()), '&&'), (models.Func(models.F('starts_at'), models.F('ends_at'), function='tstzrange', output_field=django.contrib.postgres.fields.ranges.DateTimeRangeField()), '&&')], name='shop_visit_technician_free', violation_error_code='technician-booked', violation_error_message='The technician has another visit at this time.')],
            },
        ),
        migrations.CreateModel(
            name='VisitEvent',
            fields=[
                ('pgh_id', models.AutoField(primary_key=True, serialize=False)),
                ('pgh_created_at', models.DateTimeField(auto_now_add=True)),
                ('pgh_label', models.TextField(help_text='The event label.')),
                ('id', models.BigIntegerField()),
                ('starts_at', models.DateTimeField()),
                ('ends_at', models.DateTimeField()),
                ('purpose', models.CharField(blank=True, max_length=200)),
                ('status', models.CharField(choices=[('planned', 'Planned'), ('done', 'Done'), ('cancelled', 'Cancelled')], default='planned', max_length=20)),
                ('pgh_context', models.ForeignKey(db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='pghistory.context')),
                ('pgh_obj', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='events', to='shop.visit')),
                ('site', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to='shop.site')),
                ('technician', models.ForeignKey(db_constraint=False, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', related_query_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.AddConstraint(
            model_name='instrument',
            constraint=models.CheckConstraint(condition=models.Q(('action__in', ['upright', 'spinet', 'grand'])), name='shop_instrument_action_known', violation_error_code='action-unknown', violation_error_message='The action is upright, spinet or grand.'),
        ),
        migrations.AddConstraint(
            model_name='instrument',
            constraint=models.CheckConstraint(condition=models.Q(('highest_midi__lte', 127), ('lowest_midi__lt', models.F('highest_midi'))), name='shop_instrument_compass', violation_error_code='compass-impossible', violation_error_message='The lowest note is below the highest, in MIDI 0 to 127.'),
        ),
        migrations.AddConstraint(
            model_name='instrument',
            constraint=models.CheckConstraint(condition=models.Q(('built_year__isnull', True), ('built_year__range', (1700, 2100)), _connector='OR'), name='shop_instrument_built_year', violation_error_code='year-absurd', violation_error_message='The year of building lies between 1700 and 2100.'),
        ),
        migrations.AddIndex(
            model_name='part',
            index=models.Index(fields=['name', 'id'], name='shop_part_by_name'),
        ),
        migrations.AddConstraint(
            model_name='part',
            constraint=models.CheckConstraint(condition=models.Q(('provenance__in', ['published', 'common practice', 'from memory', 'estimate', 'shop'])), name='shop_part_provenance_known', violation_error_code='provenance-unknown', violation_error_message='Provenance is one of published, common practice, from memory, estimate, shop.'),
        ),
        migrations.AddConstraint(
            model_name='part',
            constraint=models.CheckConstraint(condition=models.Q(('category__in', ['centre_pin', 'key_punching', 'bushing_cloth', 'key_pin', 'spring', 'cord_and_strap', 'felt_and_leather', 'glue', 'wire_and_string', 'tuning_pin', 'key_part', 'action_part', 'screw_and_hardware', 'consumable', 'humidity'])), name='shop_part_category_known', violation_error_code='category-unknown', violation_error_message='The category is not one that the shop keeps.'),
        ),
        migrations.AddConstraint(
            model_name='part',
            constraint=models.CheckConstraint(condition=models.Q(('unit__in', ['piece', 'metre', 'square_metre', 'millilitre', 'gram', 'sheet'])), name='shop_part_unit_known', violation_error_code='unit-unknown', violation_error_message='The unit is one of piece, metre, square_metre, millilitre, gram, sheet.'),
        ),
        migrations.AddConstraint(
            model_name='part',
            constraint=models.CheckConstraint(condition=models.Q(('cost__gte', 0), ('pack_quantity__gt', 0), ('price__gte', 0)), name='shop_part_amounts_sensible', violation_error_code='amount-negative', violation_error_message='A pack holds something; price and cost are not negative.'),
        ),
        migrations.AddConstraint(
            model_name='part',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('category', 'centre_pin'), ('diameter_um__isnull', False), ('diameter_um__range', (500, 3000)), ('size_label__regex', '^\\d{1,2}(\\.5)?$'), ('size_scheme__in', ['inch', 'metric'])), models.Q(models.Q(('category', 'centre_pin'), _negated=True), ('size_scheme', '')), _connector='OR'), name='shop_part_centre_pin_size', violation_error_code='pin-size-missing', violation_error_message='A centre pin, and nothing else, has a size scheme, a size in halves and a diameter of 500 to 3000 µm.'),
        ),
        migrations.AddConstraint(
            model_name='part',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('category', 'key_punching'), _negated=True), models.Q(('outer_diameter_um__gt', 0), ('outer_diameter_um__isnull', False), ('thickness_um__gt', 0), ('thickness_um__isnull', False)), _connector='OR'), name='shop_part_punching_measures', violation_error_code='punching-measures-missing', violation_error_message='A key punching has a thickness and an outer diameter.'),
        ),
        migrations.AddConstraint(
            model_name='part',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('category', 'bushing_cloth'), _negated=True), models.Q(('strip_width_mm__gt', 0), ('strip_width_mm__isnull', False), ('thickness_um__gt', 0), ('thickness_um__isnull', False)), _connector='OR'), name='shop_part_cloth_measures', violation_error_code='cloth-measures-missing', violation_error_message='Bushing cloth has a thickness and a strip width.'),
        ),
        migrations.AddConstraint(
            model_name='part',
            constraint=models.UniqueConstraint(condition=models.Q(('category', 'centre_pin'), ('is_active', True)), fields=('size_scheme', 'size_label'), name='shop_part_one_pin_per_size', violation_error_code='pin-size-exists', violation_error_message='An active centre pin of this size exists already.'),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='client',
            trigger=pgtrigger.compiler.Trigger(name='insert_insert', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_clientevent" ("contact_name", "email", "id", "kind", "name", "notes", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "phone", "tax_number") VALUES (NEW."contact_name", NEW."email", NEW."id", NEW."kind", NEW."name", NEW."notes", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."phone", NEW."tax_number"); RETURN NULL;', hash='176b81ca5609f59eb5d28ceefe4fb5acef75e81f', operation='INSERT', pgid='pgtrigger_insert_insert_82ec8', table='shop_client', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='client',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD.* IS DISTINCT FROM NEW.*)', func='INSERT INTO "shop_clientevent" ("contact_name", "email", "id", "kind", "name", "notes", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "phone", "tax_number") VALUES (NEW."contact_name", NEW."email", NEW."id", NEW."kind", NEW."name", NEW."notes", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."phone", NEW."tax_number"); RETURN NULL;', hash='ce497b5d585c11683090ed6af87bcd4538d480d8', operation='UPDATE', pgid='pgtrigger_update_update_a82dd', table='shop_client', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='client',
            trigger=pgtrigger.compiler.Trigger(name='delete_delete', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_clientevent" ("contact_name", "email", "id", "kind", "name", "notes", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "phone", "tax_number") VALUES (OLD."contact_name", OLD."email", OLD."id", OLD."kind", OLD."name", OLD."notes", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."phone", OLD."tax_number"); RETURN NULL;', hash='6c090acd0d8eab7102ce3a12bc88e98eb47fecdd', operation='DELETE', pgid='pgtrigger_delete_delete_081f0', table='shop_client', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='place',
            trigger=pgtrigger.compiler.Trigger(name='shop_place_kind_fixed', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF OLD.kind IS DISTINCT FROM NEW.kind THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_place_kind_fixed',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'A place keeps its kind, since its moves were made under it.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='891fbbd664c2fbafeb4bf66674eeeb20343d6639', operation='UPDATE OF "kind"', pgid='pgtrigger_shop_place_kind_fixed_b345a', table='shop_place', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='place',
            trigger=pgtrigger.compiler.Trigger(name='shop_place_closed_empty', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF NOT NEW.is_active AND EXISTS (SELECT FROM shop_level WHERE place_id = NEW.id AND quantity <> 0) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_place_closed_empty',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Something is still at this place; move it before closing the place.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='856da1357a4abc04280351957415877ad0a4d046', operation='UPDATE OF "is_active"', pgid='pgtrigger_shop_place_closed_empty_73cf3', table='shop_place', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='shopprofile',
            trigger=pgtrigger.compiler.Trigger(name='shop_shopprofile_kept', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_shopprofile_kept',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The shop has a profile for good; change it instead.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='7e301ef4a4e213308bffe3c5f42a53df009e1981', operation='DELETE', pgid='pgtrigger_shop_shopprofile_kept_f5919', table='shop_shopprofile', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='shopprofile',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD.* IS DISTINCT FROM NEW.*)', func='INSERT INTO "shop_shopprofileevent" ("city", "country", "email", "humidity_highest_percent", "humidity_lowest_percent", "humidity_target_percent", "id", "is_tax_registered", "name", "payment_days", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "phone", "pin_size_scheme", "postcode", "quote_validity_days", "street", "tax_number") VALUES (NEW."city", NEW."country", NEW."email", NEW."humidity_highest_percent", NEW."humidity_lowest_percent", NEW."humidity_target_percent", NEW."id", NEW."is_tax_registered", NEW."name", NEW."payment_days", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."phone", NEW."pin_size_scheme", NEW."postcode", NEW."quote_validity_days", NEW."street", NEW."tax_number"); RETURN NULL;', hash='d03b01d8affaa8c0e164e02e92a17893540c5d92', operation='UPDATE', pgid='pgtrigger_update_update_4010c', table='shop_shopprofile', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='supplier',
            trigger=pgtrigger.compiler.Trigger(name='insert_insert', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_supplierevent" ("email", "id", "lead_time_days", "name", "notes", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "phone") VALUES (NEW."email", NEW."id", NEW."lead_time_days", NEW."name", NEW."notes", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."phone"); RETURN NULL;', hash='785e4e8bec685759ee369f79471432f047ad00dc', operation='INSERT', pgid='pgtrigger_insert_insert_1910f', table='shop_supplier', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='supplier',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD.* IS DISTINCT FROM NEW.*)', func='INSERT INTO "shop_supplierevent" ("email", "id", "lead_time_days", "name", "notes", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "phone") VALUES (NEW."email", NEW."id", NEW."lead_time_days", NEW."name", NEW."notes", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."phone"); RETURN NULL;', hash='5172b95f67ce4fee8afb6a36f4534d7846025aa6', operation='UPDATE', pgid='pgtrigger_update_update_4a42a', table='shop_supplier', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='supplier',
            trigger=pgtrigger.compiler.Trigger(name='delete_delete', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_supplierevent" ("email", "id", "lead_time_days", "name", "notes", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "phone") VALUES (OLD."email", OLD."id", OLD."lead_time_days", OLD."name", OLD."notes", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."phone"); RETURN NULL;', hash='fa34abe5730352ae095f95aa09209588f616bb0a', operation='DELETE', pgid='pgtrigger_delete_delete_5516a', table='shop_supplier', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='clientevent',
            trigger=pgtrigger.compiler.Trigger(name='append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="RAISE EXCEPTION 'pgtrigger: Cannot update or delete rows from % table', TG_TABLE_NAME;", hash='c687196b6075e6fda85cc413325f30cc5018c608', operation='UPDATE OR DELETE', pgid='pgtrigger_append_only_dbc0f', table='shop_clientevent', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='holding',
            trigger=pgtrigger.compiler.Trigger(name='shop_holding_kept_by_ledger', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF pg_trigger_depth() < 2 THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_holding_kept_by_ledger',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Levels and holdings are the sums of the moves; post a move instead.';\n            END IF;\n            RETURN NULL;\n        ", hash='54a3746e6c144f4a70be2296b2c7b1fa5375a9e5', level='STATEMENT', operation='INSERT OR UPDATE OR DELETE', pgid='pgtrigger_shop_holding_kept_by_ledger_ccbbb', table='shop_holding', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='holding',
            trigger=pgtrigger.compiler.Trigger(name='shop_holding_no_truncate', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_holding_no_truncate',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Levels and holdings are the sums of the moves; post a move instead.';\n            END IF;\n            RETURN NULL;\n        ", hash='0f7ec0ef7d50a5bc1b40a8b0af899afb4c4be372', level='STATEMENT', operation='TRUNCATE', pgid='pgtrigger_shop_holding_no_truncate_36d0c', table='shop_holding', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='move',
            trigger=pgtrigger.compiler.Trigger(name='shop_move_append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_move_append_only',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Stock moves are never changed or removed; add a correcting one.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='a32745f0136cc58913f9f0fe456999700cdd394f', operation='UPDATE OR DELETE', pgid='pgtrigger_shop_move_append_only_f3efe', table='shop_move', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='move',
            trigger=pgtrigger.compiler.Trigger(name='shop_move_no_truncate', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_move_no_truncate',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Stock moves are never changed or removed; add a correcting one.';\n            END IF;\n            RETURN NULL;\n        ", hash='27a811d22fdeb9a5ca67fc3aa752b7c2596fc6d6', level='STATEMENT', operation='TRUNCATE', pgid='pgtrigger_shop_move_no_truncate_c79a6', table='shop_move', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='move',
            trigger=pgtrigger.compiler.Trigger(name='shop_move_whole_pieces', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF EXISTS (SELECT FROM new_moves WHERE \n                    quantity <> trunc(quantity) AND EXISTS (SELECT FROM shop_part\n                        WHERE id = part_id AND unit IN ('piece', 'sheet'))\n                ) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_move_whole_pieces',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Parts counted in pieces or sheets move in whole numbers.';\n            END IF;\n            RETURN NULL;\n        ", hash='48df75b36e5289d7f3da44b4517bcb633d83378d', level='STATEMENT', operation='INSERT', pgid='pgtrigger_shop_move_whole_pieces_8f745', referencing='REFERENCING NEW TABLE AS new_moves ', table='shop_move', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='move',
            trigger=pgtrigger.compiler.Trigger(name='shop_move_touches_stock', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF EXISTS (SELECT FROM new_moves WHERE \n                    NOT EXISTS (SELECT FROM shop_place WHERE id IN (from_place_id, to_place_id)\n                        AND kind IN ('shelf', 'van', 'bag'))\n                ) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_move_touches_stock',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'A move starts or ends at a shelf, a van or a job bag.';\n            END IF;\n            RETURN NULL;\n        ", hash='1a85fe39636c6aac884a3221ed048ce399dc5af8', level='STATEMENT', operation='INSERT', pgid='pgtrigger_shop_move_touches_stock_cbf01', referencing='REFERENCING NEW TABLE AS new_moves ', table='shop_move', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='move',
            trigger=pgtrigger.compiler.Trigger(name='shop_move_place_open', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF EXISTS (SELECT FROM new_moves WHERE \n                    EXISTS (SELECT FROM shop_place WHERE id = to_place_id AND NOT is_active)\n                ) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_move_place_open',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The place is closed; nothing can be moved there.';\n            END IF;\n            RETURN NULL;\n        ", hash='c2dedb1e253c0b0713f47b702544535394d74045', level='STATEMENT', operation='INSERT', pgid='pgtrigger_shop_move_place_open_da076', referencing='REFERENCING NEW TABLE AS new_moves ', table='shop_move', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='move',
            trigger=pgtrigger.compiler.Trigger(name='shop_move_keeps_levels', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n                    PERFORM 1 FROM shop_holding\n                        WHERE part_id IN (SELECT part_id FROM new_moves)\n                        ORDER BY part_id FOR UPDATE;\n                    INSERT INTO shop_level (part_id, place_id, is_held, quantity)\n                        SELECT DISTINCT move.part_id, place.id,\n                               place.kind IN ('shelf', 'van', 'bag'), 0\n                        FROM new_moves AS move\n                        JOIN shop_place AS place\n                            ON place.id IN (move.from_place_id, move.to_place_id)\n                    ON CONFLICT (part_id, place_id) DO NOTHING;\n                    UPDATE shop_level AS level\n                        SET quantity = level.quantity + change.quantity\n                        FROM (SELECT part_id, place_id, sum(quantity) AS quantity\n                              FROM (SELECT part_id, from_place_id AS place_id, -quantity AS quantity\n                                        FROM new_moves\n                                    UNION ALL\n                                    SELECT part_id, to_place_id, quantity FROM new_moves) AS side\n                              GROUP BY part_id, place_id) AS change\n                        WHERE level.part_id = change.part_id\n                          AND level.place_id = change.place_id;\n                    UPDATE shop_holding AS holding\n                        SET quantity = holding.quantity + change.quantity,\n                            value = holding.value + change.value\n                        FROM (SELECT move.part_id,\n                                     sum(move.quantity * move.direction) AS quantity,\n                                     sum(move.value * move.direction) AS value\n                              FROM (SELECT new_moves.part_id, new_moves.quantity, new_moves.value,\n                                           (target.kind IN ('shelf', 'van', 'bag'))::int\n                                           - (source.kind IN ('shelf', 'van', 'bag'))::int\n                                           AS direction\n                                    FROM new_moves\n                                    JOIN shop_place AS source ON source.id = from_place_id\n                                    JOIN shop_place AS target ON target.id = to_place_id) AS move\n                              WHERE move.direction <> 0\n                              GROUP BY move.part_id) AS change\n                        WHERE holding.part_id = change.part_id;\n                    RETURN NULL;\n                ", hash='a86ecf184a0b395b851753d43f0138bf81e5fcc6', level='STATEMENT', operation='INSERT', pgid='pgtrigger_shop_move_keeps_levels_44e91', referencing='REFERENCING NEW TABLE AS new_moves ', table='shop_move', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='level',
            trigger=pgtrigger.compiler.Trigger(name='shop_level_kept_by_ledger', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF pg_trigger_depth() < 2 THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_level_kept_by_ledger',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Levels and holdings are the sums of the moves; post a move instead.';\n            END IF;\n            RETURN NULL;\n        ", hash='06bec3aca26c1b483a469bcdaddea18cbfa761d6', level='STATEMENT', operation='INSERT OR UPDATE OR DELETE', pgid='pgtrigger_shop_level_kept_by_ledger_9392e', table='shop_level', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='level',
            trigger=pgtrigger.compiler.Trigger(name='shop_level_no_truncate', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF TRUE THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_level_no_truncate',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'Levels and holdings are the sums of the moves; post a move instead.';\n            END IF;\n            RETURN NULL;\n        ", hash='89a156c71c1243abbee3eb26b1de5e41c7bf31ba', level='STATEMENT', operation='TRUNCATE', pgid='pgtrigger_shop_level_no_truncate_0a58a', table='shop_level', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='shopprofileevent',
            trigger=pgtrigger.compiler.Trigger(name='append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="RAISE EXCEPTION 'pgtrigger: Cannot update or delete rows from % table', TG_TABLE_NAME;", hash='abfa7295eee09af5c057dd0de7f3f35e8aa8a072', operation='UPDATE OR DELETE', pgid='pgtrigger_append_only_c819a', table='shop_shopprofileevent', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='site',
            trigger=pgtrigger.compiler.Trigger(name='insert_insert', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_siteevent" ("access_notes", "city", "client_id", "country", "id", "name", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "postcode", "street", "travel_minutes") VALUES (NEW."access_notes", NEW."city", NEW."client_id", NEW."country", NEW."id", NEW."name", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."postcode", NEW."street", NEW."travel_minutes"); RETURN NULL;', hash='b317ff589f5e1a5a22a82404a2285f6e65bb4f5d', operation='INSERT', pgid='pgtrigger_insert_insert_9602a', table='shop_site', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='site',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD.* IS DISTINCT FROM NEW.*)', func='INSERT INTO "shop_siteevent" ("access_notes", "city", "client_id", "country", "id", "name", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "postcode", "street", "travel_minutes") VALUES (NEW."access_notes", NEW."city", NEW."client_id", NEW."country", NEW."id", NEW."name", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."postcode", NEW."street", NEW."travel_minutes"); RETURN NULL;', hash='937418e9d2da418e62d48a0837fa9311989302ec', operation='UPDATE', pgid='pgtrigger_update_update_c5931', table='shop_site', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='site',
            trigger=pgtrigger.compiler.Trigger(name='delete_delete', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_siteevent" ("access_notes", "city", "client_id", "country", "id", "name", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "postcode", "street", "travel_minutes") VALUES (OLD."access_notes", OLD."city", OLD."client_id", OLD."country", OLD."id", OLD."name", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."postcode", OLD."street", OLD."travel_minutes"); RETURN NULL;', hash='1cc6f46fbd6f6dbc97705ce5c80f7c027cac3128', operation='DELETE', pgid='pgtrigger_delete_delete_294b3', table='shop_site', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='instrumentevent',
            trigger=pgtrigger.compiler.Trigger(name='append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="RAISE EXCEPTION 'pgtrigger: Cannot update or delete rows from % table', TG_TABLE_NAME;", hash='2c3f558fef78e4e79d69b4160d9e1c282cd37391', operation='UPDATE OR DELETE', pgid='pgtrigger_append_only_a1515', table='shop_instrumentevent', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='instrument',
            trigger=pgtrigger.compiler.Trigger(name='insert_insert', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_instrumentevent" ("action", "built_year", "highest_midi", "id", "key_covering", "lowest_midi", "maker", "model", "notes", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "serial_number", "site_id") VALUES (NEW."action", NEW."built_year", NEW."highest_midi", NEW."id", NEW."key_covering", NEW."lowest_midi", NEW."maker", NEW."model", NEW."notes", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."serial_number", NEW."site_id"); RETURN NULL;', hash='5095040112f6f659fee5ae0c0771d25d816244ef', operation='INSERT', pgid='pgtrigger_insert_insert_98d34', table='shop_instrument', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='instrument',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD.* IS DISTINCT FROM NEW.*)', func='INSERT INTO "shop_instrumentevent" ("action", "built_year", "highest_midi", "id", "key_covering", "lowest_midi", "maker", "model", "notes", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "serial_number", "site_id") VALUES (NEW."action", NEW."built_year", NEW."highest_midi", NEW."id", NEW."key_covering", NEW."lowest_midi", NEW."maker", NEW."model", NEW."notes", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."serial_number", NEW."site_id"); RETURN NULL;', hash='c44faef310913a5d86c1d00b799f624e181c8254', operation='UPDATE', pgid='pgtrigger_update_update_d5640', table='shop_instrument', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='instrument',
            trigger=pgtrigger.compiler.Trigger(name='delete_delete', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_instrumentevent" ("action", "built_year", "highest_midi", "id", "key_covering", "lowest_midi", "maker", "model", "notes", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "serial_number", "site_id") VALUES (OLD."action", OLD."built_year", OLD."highest_midi", OLD."id", OLD."key_covering", OLD."lowest_midi", OLD."maker", OLD."model", OLD."notes", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."serial_number", OLD."site_id"); RETURN NULL;', hash='783f8200c96a027abdc8c8819e550a6e461100f0', operation='DELETE', pgid='pgtrigger_delete_delete_302f7', table='shop_instrument', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='siteevent',
            trigger=pgtrigger.compiler.Trigger(name='append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="RAISE EXCEPTION 'pgtrigger: Cannot update or delete rows from % table', TG_TABLE_NAME;", hash='d4ad29adb84827d2998e786385cd965ec42db659', operation='UPDATE OR DELETE', pgid='pgtrigger_append_only_226c9', table='shop_siteevent', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='supplierevent',
            trigger=pgtrigger.compiler.Trigger(name='append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="RAISE EXCEPTION 'pgtrigger: Cannot update or delete rows from % table', TG_TABLE_NAME;", hash='3f5013cc7498ecfa85918cdcee933e067a49c89c', operation='UPDATE OR DELETE', pgid='pgtrigger_append_only_8c193', table='shop_supplierevent', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='partevent',
            trigger=pgtrigger.compiler.Trigger(name='append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="RAISE EXCEPTION 'pgtrigger: Cannot update or delete rows from % table', TG_TABLE_NAME;", hash='ebf7cc7d96cebcb88878ece127f5a50a620f1444', operation='UPDATE OR DELETE', pgid='pgtrigger_append_only_c736e', table='shop_partevent', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='part',
            trigger=pgtrigger.compiler.Trigger(name='shop_part_brings_holding', sql=pgtrigger.compiler.UpsertTriggerSql(func='\n                    INSERT INTO shop_holding (part_id, quantity, value) VALUES (NEW.id, 0, 0);\n                    RETURN NULL;\n                ', hash='bb7539fd74e58956f1361511d58020d4a92e3d37', operation='INSERT', pgid='pgtrigger_shop_part_brings_holding_d6af0', table='shop_part', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='part',
            trigger=pgtrigger.compiler.Trigger(name='shop_part_takes_holding', sql=pgtrigger.compiler.UpsertTriggerSql(func='DELETE FROM shop_holding WHERE part_id = OLD.id; RETURN OLD;', hash='fc686dc3e20f420651aa1471f3a176abe45daad3', operation='DELETE', pgid='pgtrigger_shop_part_takes_holding_1c84f', table='shop_part', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='part',
            trigger=pgtrigger.compiler.Trigger(name='shop_part_unit_fixed', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF OLD.unit IS DISTINCT FROM NEW.unit AND EXISTS (SELECT FROM shop_move WHERE part_id = NEW.id) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_part_unit_fixed',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'A part that has moved keeps its unit; make a new part instead.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='5c65c78ebe1d4e15a984ec559bf6039c8e1b8ec4', operation='UPDATE OF "unit"', pgid='pgtrigger_shop_part_unit_fixed_e6997', table='shop_part', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='part',
            trigger=pgtrigger.compiler.Trigger(name='insert_insert', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_partevent" ("category", "code", "cost", "diameter_um", "id", "is_active", "lead_time_days", "name", "outer_diameter_um", "pack_quantity", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "price", "provenance", "size_label", "size_scheme", "source", "strip_width_mm", "supplier_id", "supplier_part_number", "tax_category_id", "thickness_um", "unit") VALUES (NEW."category", NEW."code", NEW."cost", NEW."diameter_um", NEW."id", NEW."is_active", NEW."lead_time_days", NEW."name", NEW."outer_diameter_um", NEW."pack_quantity", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."price", NEW."provenance", NEW."size_label", NEW."size_scheme", NEW."source", NEW."strip_width_mm", NEW."supplier_id", NEW."supplier_part_number", NEW."tax_category_id", NEW."thickness_um", NEW."unit"); RETURN NULL;', hash='683545f6ff8ac0f0ce98ed797df8e55a96a8c164', operation='INSERT', pgid='pgtrigger_insert_insert_7a6c9', table='shop_part', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='part',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD."category" IS DISTINCT FROM (NEW."category") OR OLD."code" IS DISTINCT FROM (NEW."code") OR OLD."cost" IS DISTINCT FROM (NEW."cost") OR OLD."diameter_um" IS DISTINCT FROM (NEW."diameter_um") OR OLD."id" IS DISTINCT FROM (NEW."id") OR OLD."is_active" IS DISTINCT FROM (NEW."is_active") OR OLD."lead_time_days" IS DISTINCT FROM (NEW."lead_time_days") OR OLD."name" IS DISTINCT FROM (NEW."name") OR OLD."outer_diameter_um" IS DISTINCT FROM (NEW."outer_diameter_um") OR OLD."pack_quantity" IS DISTINCT FROM (NEW."pack_quantity") OR OLD."price" IS DISTINCT FROM (NEW."price") OR OLD."provenance" IS DISTINCT FROM (NEW."provenance") OR OLD."size_label" IS DISTINCT FROM (NEW."size_label") OR OLD."size_scheme" IS DISTINCT FROM (NEW."size_scheme") OR OLD."source" IS DISTINCT FROM (NEW."source") OR OLD."strip_width_mm" IS DISTINCT FROM (NEW."strip_width_mm") OR OLD."supplier_id" IS DISTINCT FROM (NEW."supplier_id") OR OLD."supplier_part_number" IS DISTINCT FROM (NEW."supplier_part_number") OR OLD."tax_category_id" IS DISTINCT FROM (NEW."tax_category_id") OR OLD."thickness_um" IS DISTINCT FROM (NEW."thickness_um") OR OLD."unit" IS DISTINCT FROM (NEW."unit"))', func='INSERT INTO "shop_partevent" ("category", "code", "cost", "diameter_um", "id", "is_active", "lead_time_days", "name", "outer_diameter_um", "pack_quantity", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "price", "provenance", "size_label", "size_scheme", "source", "strip_width_mm", "supplier_id", "supplier_part_number", "tax_category_id", "thickness_um", "unit") VALUES (NEW."category", NEW."code", NEW."cost", NEW."diameter_um", NEW."id", NEW."is_active", NEW."lead_time_days", NEW."name", NEW."outer_diameter_um", NEW."pack_quantity", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."price", NEW."provenance", NEW."size_label", NEW."size_scheme", NEW."source", NEW."strip_width_mm", NEW."supplier_id", NEW."supplier_part_number", NEW."tax_category_id", NEW."thickness_um", NEW."unit"); RETURN NULL;', hash='5a7d9f9cf078e759da7db2d5b12abef9c84e743e', operation='UPDATE', pgid='pgtrigger_update_update_b6436', table='shop_part', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='part',
            trigger=pgtrigger.compiler.Trigger(name='delete_delete', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_partevent" ("category", "code", "cost", "diameter_um", "id", "is_active", "lead_time_days", "name", "outer_diameter_um", "pack_quantity", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "price", "provenance", "size_label", "size_scheme", "source", "strip_width_mm", "supplier_id", "supplier_part_number", "tax_category_id", "thickness_um", "unit") VALUES (OLD."category", OLD."code", OLD."cost", OLD."diameter_um", OLD."id", OLD."is_active", OLD."lead_time_days", OLD."name", OLD."outer_diameter_um", OLD."pack_quantity", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."price", OLD."provenance", OLD."size_label", OLD."size_scheme", OLD."source", OLD."strip_width_mm", OLD."supplier_id", OLD."supplier_part_number", OLD."tax_category_id", OLD."thickness_um", OLD."unit"); RETURN NULL;', hash='b0a983ae64b5a65c77f879c379eb8c98542915f7', operation='DELETE', pgid='pgtrigger_delete_delete_30e08', table='shop_part', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='taxrate',
            trigger=pgtrigger.compiler.Trigger(name='insert_insert', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_taxrateevent" ("category_id", "id", "percent", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "valid_from", "valid_until") VALUES (NEW."category_id", NEW."id", NEW."percent", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."valid_from", NEW."valid_until"); RETURN NULL;', hash='e96c3df55b196476569ef1282926c2cd75b536d7', operation='INSERT', pgid='pgtrigger_insert_insert_23cb1', table='shop_taxrate', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='taxrate',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD.* IS DISTINCT FROM NEW.*)', func='INSERT INTO "shop_taxrateevent" ("category_id", "id", "percent", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "valid_from", "valid_until") VALUES (NEW."category_id", NEW."id", NEW."percent", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."valid_from", NEW."valid_until"); RETURN NULL;', hash='4d5d9f157894d0fbc1fe31d0e3011b81db993121', operation='UPDATE', pgid='pgtrigger_update_update_b5630', table='shop_taxrate', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='taxrate',
            trigger=pgtrigger.compiler.Trigger(name='delete_delete', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_taxrateevent" ("category_id", "id", "percent", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "valid_from", "valid_until") VALUES (OLD."category_id", OLD."id", OLD."percent", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."valid_from", OLD."valid_until"); RETURN NULL;', hash='30754e8e65df7fa021dba05b48b1bb3b1895cd6a', operation='DELETE', pgid='pgtrigger_delete_delete_39d65', table='shop_taxrate', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='taxrateevent',
            trigger=pgtrigger.compiler.Trigger(name='append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="RAISE EXCEPTION 'pgtrigger: Cannot update or delete rows from % table', TG_TABLE_NAME;", hash='6503d145642f062824425ed03170eaed597175ac', operation='UPDATE OR DELETE', pgid='pgtrigger_append_only_2eb55', table='shop_taxrateevent', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='visit',
            trigger=pgtrigger.compiler.Trigger(name='shop_visit_status_edge', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF OLD.status IS DISTINCT FROM NEW.status AND (OLD.status, NEW.status) NOT IN (('planned', 'done'), ('planned', 'cancelled')) THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_visit_status_edge',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'The present status does not allow this change.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='1eb0ace78d965c2db1a965134481fd5614036021', operation='UPDATE OF "status"', pgid='pgtrigger_shop_visit_status_edge_036ff', table='shop_visit', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='visit',
            trigger=pgtrigger.compiler.Trigger(name='shop_visit_status_first', sql=pgtrigger.compiler.UpsertTriggerSql(func="\n            \n            IF NEW.status <> 'planned' THEN\n                RAISE EXCEPTION USING\n                    ERRCODE = 'check_violation',\n                    CONSTRAINT = 'shop_visit_status_first',\n                    TABLE = TG_TABLE_NAME,\n                    MESSAGE = 'A new row starts with the status planned.';\n            END IF;\n            IF TG_OP = 'DELETE' THEN RETURN OLD; END IF; RETURN NEW;\n        ", hash='e02cbedc42fdb19af7a549ff743be7071d49f367', operation='INSERT', pgid='pgtrigger_shop_visit_status_first_bd0f8', table='shop_visit', when='BEFORE')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='visit',
            trigger=pgtrigger.compiler.Trigger(name='insert_insert', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_visitevent" ("ends_at", "id", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "purpose", "site_id", "starts_at", "status", "technician_id") VALUES (NEW."ends_at", NEW."id", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."purpose", NEW."site_id", NEW."starts_at", NEW."status", NEW."technician_id"); RETURN NULL;', hash='d44993a27da25f9897a33629efeb257de37982ca', operation='INSERT', pgid='pgtrigger_insert_insert_1073b', table='shop_visit', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='visit',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD.* IS DISTINCT FROM NEW.*)', func='INSERT INTO "shop_visitevent" ("ends_at", "id", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "purpose", "site_id", "starts_at", "status", "technician_id") VALUES (NEW."ends_at", NEW."id", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."purpose", NEW."site_id", NEW."starts_at", NEW."status", NEW."technician_id"); RETURN NULL;', hash='6470cc506b4c714e4a5883540b5c5acfb90307ae', operation='UPDATE', pgid='pgtrigger_update_update_b8fed', table='shop_visit', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='visit',
            trigger=pgtrigger.compiler.Trigger(name='delete_delete', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "shop_visitevent" ("ends_at", "id", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "purpose", "site_id", "starts_at", "status", "technician_id") VALUES (OLD."ends_at", OLD."id", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."purpose", OLD."site_id", OLD."starts_at", OLD."status", OLD."technician_id"); RETURN NULL;', hash='757957241a2dfe4dcf04e435e0ab4803313e6600', operation='DELETE', pgid='pgtrigger_delete_delete_4b77b', table='shop_visit', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='visitevent',
            trigger=pgtrigger.compiler.Trigger(name='append_only', sql=pgtrigger.compiler.UpsertTriggerSql(func="RAISE EXCEPTION 'pgtrigger: Cannot update or delete rows from % table', TG_TABLE_NAME;", hash='21e00b2dd9ed4f297fdcbb3deb93a6b8da353e03', operation='UPDATE OR DELETE', pgid='pgtrigger_append_only_9d5d6', table='shop_visitevent', when='BEFORE')),
        ),
    ]
