"""When the server starts and when it stops, whoever dies."""

import os
import time

import pytest

from tests.shop.database.conftest import await_end, kill, kill_server, processes

RECONNECT_SECONDS = 10
STARTED_AT = "SELECT pg_postmaster_start_time()"
# Long enough that no thread can use the connection of another.
SLOWLY = "SELECT 'here' FROM pg_sleep(0.2)"


def test_the_settings_alone_start_nothing(server, run):
    program = run()
    program.end()
    assert processes(server) == {}
    assert not server.home.exists()


def test_a_program_that_ends_leaves_no_server(server, run):
    program = run()
    assert program.ask() == ["here"]
    assert set(processes(server)) == {"server", "keeper"}
    program.end()
    await_end(server)


def test_a_program_that_is_killed_leaves_no_server(server, run):
    program = run()
    assert program.ask() == ["here"]
    kill(program.process.pid)
    await_end(server)


def test_the_server_stays_while_another_program_uses_it(server, run):
    first, second = run(), run()
    started_at = first.ask(STARTED_AT)
    assert second.ask(STARTED_AT) == started_at
    first.end()
    time.sleep(0.5)
    assert second.ask(STARTED_AT) == started_at


def test_programs_that_start_at_once_get_one_server(server, run):
    programs = [run() for _ in range(3)]
    for program in programs:
        program.say(STARTED_AT)
    answers = [program.hear() for program in programs]
    assert answers[0] == answers[1] == answers[2]
    # An answer, not an error's name.
    assert answers[0][0].startswith("20")


def test_a_killed_keeper_takes_the_server_with_it(server, run):
    program = run()
    assert program.ask() == ["here"]
    kill(processes(server)["keeper"])
    program.end()
    await_end(server)


def test_a_program_goes_on_after_the_keeper_was_killed(server, run):
    program = run()
    assert program.ask() == ["here"]
    before = processes(server)
    kill(before["keeper"])
    await_end(server)
    assert program.ask() == ["here"]
    assert set(processes(server).values()).isdisjoint(before.values())


@pytest.mark.parametrize("threads", [1, 6])
@pytest.mark.parametrize("pool_size", [0, 6])
def test_requests_after_the_server_was_killed_are_answered(server, run, pool_size, threads):
    program = run(DATABASE_POOL_SIZE=str(pool_size))
    assert program.ask(SLOWLY, threads=6) == ["here"] * 6
    kill_server(server)
    killed_at = time.monotonic()
    assert program.ask(SLOWLY, threads) == ["here"] * threads
    assert time.monotonic() - killed_at < RECONNECT_SECONDS


@pytest.mark.parametrize("pool_size", [0, 2])
def test_a_statement_that_outlives_the_killed_server_holds_nobody_up(server, run, pool_size):
    program, other = run(DATABASE_POOL_SIZE=str(pool_size)), run()
    assert program.ask() == other.ask() == ["here"]
    other.say("SELECT count(*) FROM generate_series(1, 3000000000)")
    time.sleep(0.3)
    kill_server(server)
    killed_at = time.monotonic()
    assert program.ask() == ["here"]
    assert time.monotonic() - killed_at < RECONNECT_SECONDS
    assert "OperationalError" in other.hear()[0]


def test_a_program_goes_on_while_the_server_recovers_from_a_killed_connection(server, run):
    program, other = run(), run()
    backend = int(other.ask("SELECT pg_backend_pid()")[0])
    kill(backend)
    assert program.ask() == ["here"]


def test_what_a_killed_server_has_left_does_not_stop_the_next(server, run):
    program = run()
    assert program.ask() == ["here"]
    left = (server.data / "postmaster.pid").read_text()
    program.end()
    await_end(server)
    # Its number belongs to a living process by now: this one.
    _, rest = left.split("\n", 1)
    (server.data / "postmaster.pid").write_text(f"{os.getpid()}\n{rest}")
    assert run().ask() == ["here"]


def test_a_server_that_cannot_start_says_why_and_what_to_do(server, run):
    program = run()
    assert program.ask() == ["here"]
    program.end()
    await_end(server)
    (server.data / "PG_VERSION").write_text("9\n")
    (problem,) = run().ask()
    assert "OperationalError: PostgreSQL could not be started" in problem
    assert "incompatible" in problem
    assert "DATABASE_URL" in problem
