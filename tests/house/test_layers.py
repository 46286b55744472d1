"""What the layers promise that import-linter cannot see: it is read off the code."""

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

pytestmark = pytest.mark.guard

ROOT = Path(__file__).resolve().parents[2]
APPS = ("shop", "diagnostics", "billing")
WRITES = {
    *("save", "delete", "create", "update", "bulk_create", "bulk_update", "get_or_create"),
    *("update_or_create", "raw", "execute", "set_password"),
}
# Counts over bench work, checks and findings at once, in one SELECT that the ORM has no words for.
SELECTS_BY_SQL = {("diagnostics/queries/learnt.py", "execute")}
# Writes a PDF into memory.
SAVES_NO_ROW = {("billing/pages/factur_x.py", "save")}
# What is handed to the standard library's distributions, to the physics of wood and air, and to the
# diagnosis: probabilities, measured values and minutes weighed by them, never amounts.
STATISTICS = {
    "billing/rules/plans.py",
    "diagnostics/api/causes.py",
    "diagnostics/api/diagnoses.py",
    "diagnostics/api/rooms.py",
    "diagnostics/queries/cause_figures.py",
    "diagnostics/queries/learnt.py",
    "diagnostics/queries/next_checks.py",
    "diagnostics/queries/room.py",
    "diagnostics/queries/trials.py",
    "diagnostics/queries/woods.py",
    "diagnostics/rules/cure_rate.py",
    "shop/rules/lead_time.py",
}
MONEY = ("rules", "actions", "queries", "models", "api", "admin")
# Where measured values are smoothed, floats are right: what comes of it is no amount.
SMOOTHED = {"diagnostics/rules/touch.py"}


def modules(*rooms: str) -> Iterator[tuple[Path, ast.Module]]:
    for app in APPS:
        for room in rooms:
            for path in sorted((ROOT / app).glob(f"{room}/**/*.py")):
                yield path.relative_to(ROOT), ast.parse(path.read_text())


def calls(tree: ast.Module) -> Iterator[tuple[int, str, bool]]:
    """Yield line and name of each call, and whether it is a method of something."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            if isinstance(node.func, ast.Attribute):
                yield node.lineno, node.func.attr, True
            elif isinstance(node.func, ast.Name):
                yield node.lineno, node.func.id, False


def public_functions(tree: ast.Module) -> Iterator[ast.FunctionDef]:
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            yield node


def test_views_and_pages_and_queries_write_nothing():
    written = [
        f"{path}:{line} {name}"
        for path, tree in modules("api", "pages", "queries")
        for line, name, is_method in calls(tree)
        if is_method and name in WRITES and (str(path), name) not in SELECTS_BY_SQL | SAVES_NO_ROW
    ]
    assert written == []


def test_money_and_quantities_are_never_floats():
    floats = [
        f"{path}:{line}"
        for path, tree in modules(*MONEY)
        if str(path) not in STATISTICS
        for line, name, is_method in calls(tree)
        if name == "float" or (is_method and name in {"FloatField", "as_float"})
        if str(path) not in SMOOTHED
    ]
    assert floats == []


def decorators(function: ast.FunctionDef) -> set[str]:
    return {ast.unparse(each).partition("(")[0] for each in function.decorator_list}


# Verbs change state by themselves. The rest of what stands in `actions/` is a step that a verb
# takes inside its own transaction; each says so by name here.
STEPS = {
    "billing/actions/invoices.py": {"invoice_lock"},
    "shop/actions/number_series.py": {"number_take"},
    "shop/actions/orders.py": {
        "order_lock",
        "order_mark_closed",
        "lines_insert",
        "order_new",
        "party_of",
        "refuse_unless_awaited",
    },
    "shop/actions/receipts.py": {"lines_counted", "quantity_of"},
    "billing/actions/allocations.py": {"allocations_add", "invoice_release"},
    "billing/actions/book_entries.py": {
        "amount_check",
        "entries_reversed",
        "entry_like",
        "entry_reverse",
        "money_lock",
        "money_text",
    },
    "billing/actions/quote_rows.py": {"quote_price", "quote_store"},
    "billing/actions/quote_terms.py": {"deposit_asked", "discount_keys", "refuse_discounts"},
    "billing/actions/quotes.py": {
        "examination_lock",
        "quote_lock",
        "quotes_lock",
        "refuse_unless_open",
    },
    # Each mail that leaves is a transaction of its own.
    "billing/actions/reminders.py": {"reminders_mail"},
    "billing/actions/agreements.py": {
        "agreement_store",
        "bag_fill",
        "bag_wanted",
        "options_chosen",
    },
    "billing/actions/quote_portions.py": {"offers_of", "portion_of", "portions_of"},
    "shop/actions/bags.py": {"bag_parts", "bag_pack", "bag_repack", "bag_empty"},
    "shop/actions/bulk.py": {"rows_insert", "columns_of"},
    "shop/actions/stock.py": {
        "differences_post",
        "holdings_lock",
        "levels_at",
        "move_rows",
        "moves_post",
        "place_lock",
        "refuse_unless_own",
    },
}
# Parts of verbs, which read or compute and write nothing.
PLAIN = {
    "billing/actions/documents.py",
    "billing/actions/invoice_rows.py",
    "diagnostics/actions/drafts.py",
    "shop/actions/catalogue_files.py",
    "shop/actions/catalogue_rows.py",
    "shop/actions/order_lines.py",
}


def test_every_verb_is_one_transaction_that_takes_its_arguments_by_name():
    wrong, steps = [], {}
    for path, tree in modules("actions"):
        for function in public_functions(tree):
            arguments = function.args
            positional = [*arguments.posonlyargs, *arguments.args]
            if str(path) in PLAIN:
                continue
            if "transaction.atomic" not in decorators(function):
                steps.setdefault(str(path), set()).add(function.name)
            elif positional or arguments.vararg or "_" not in function.name:
                wrong.append(f"{path}: {function.name}")
    assert wrong == []
    assert steps == STEPS, "Decorate it with @transaction.atomic, or say here that it is a step."


def test_steps_and_their_readers_write_nothing_of_their_own_where_they_are_plain():
    written = [
        f"{path}:{line} {name}"
        for path, tree in modules("actions")
        if str(path) in PLAIN
        for line, name, is_method in calls(tree)
        if is_method and name in WRITES - {"update"}
    ]
    assert written == []


def test_every_argument_and_answer_has_a_type():
    untyped = [
        f"{path}: {function.name}"
        for path, tree in modules("actions", "queries", "rules")
        for function in public_functions(tree)
        if function.returns is None
        or any(
            argument.annotation is None
            for argument in (*function.args.args, *function.args.kwonlyargs)
        )
    ]
    assert untyped == []


def test_no_verb_looks_at_the_clock():
    looked = [
        f"{path}:{line} {name}"
        for path, tree in modules("actions", "rules")
        for line, name, is_method in calls(tree)
        if is_method and name in {"now", "today", "localdate", "localtime", "utcnow"}
    ]
    assert looked == []


def test_everything_public_says_what_it_does():
    silent = []
    for path, tree in modules("actions", "queries", "rules", "api", "pages", "models", "http"):
        if not ast.get_docstring(tree):
            silent.append(f"{path}")
        silent += [
            f"{path}: {node.name}"
            for node in tree.body
            if isinstance(node, ast.FunctionDef | ast.ClassDef)
            and not node.name.startswith("_")
            and not ast.get_docstring(node)
        ]
    assert silent == []


def test_test_modules_are_all_in_packages():
    # Two test files of one name are one module to pytest unless each folder is a package.
    folders = {path.parent for path in (ROOT / "tests").rglob("test_*.py")}
    assert [str(folder) for folder in folders if not (folder / "__init__.py").exists()] == []


def test_no_two_files_differ_by_the_case_of_their_names_only():
    names = Counter(
        str(path.relative_to(ROOT)).lower()
        for top in (*APPS, "tests", "fixtures")
        for path in (ROOT / top).rglob("*")
    )
    assert [name for name, times in names.items() if times > 1] == []


def test_no_program_code_fetches_from_elsewhere():
    # What is started on this machine is spoken to: the demo's server, and PostgreSQL.
    clients = {"requests", "urllib3", "aiohttp", "httpx", "urllib.request", "socket", "ftplib"}
    local = ("billing/management/", "shop/database/", "shop/management/")
    fetching = [
        f"{path}: {name}"
        for app in APPS
        for path in sorted((ROOT / app).rglob("*.py"))
        for name in imported(ast.parse(path.read_text()))
        if name in clients and not str(path.relative_to(ROOT)).startswith(local)
    ]
    assert fetching == []


def imported(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield str(node.module)
