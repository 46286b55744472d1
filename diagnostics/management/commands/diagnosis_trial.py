"""Trying the diagnosis on synthetic instruments, whose causes are known."""

from argparse import ArgumentParser, ArgumentTypeError
from random import Random
from typing import Any

from django.core.management.base import CommandError

from diagnostics.queries.cause_figures import figures_of
from diagnostics.queries.learnt import Learnt
from diagnostics.queries.trials import check_works
from diagnostics.rules.trial import Nature, perturbed
from diagnostics.rules.trial_scores import Ranked, Scores, Searched, Trial
from shop.management.tables import TablesCommand
from shop.models import Action, ShopProfile

PROGRESS_EVERY = 100


def positive(text: str) -> int:
    """Return a whole number above 0."""
    if not text.isdecimal() or int(text) == 0:
        raise ArgumentTypeError(f"{text} is not a whole number above 0.")
    return int(text)


class Command(TablesCommand):
    """Draw instruments from the catalogue's figures and from others, and score the diagnosis."""

    help = (
        "Try the diagnosis on synthetic instruments whose causes are known: how often it ranks a"
        " true cause first and among three, whether its probabilities come true, and the minutes"
        " that the order of checks saves against a fixed order. Half of the instruments are drawn"
        " from the catalogue's own figures, half from figures that are off. A cause counts as found"
        " from the shop's own setting on. It reads the catalogue and stores nothing."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare how much is drawn, and how."""
        parser.add_argument("--seed", type=int, default=1, help="of the random numbers (1)")
        parser.add_argument("--instruments", type=positive, default=2000, help="in all (2000)")
        parser.add_argument(
            "--off-by",
            type=float,
            default=0.7,
            help="standard deviation of the error in the log odds of every share (0.7: where the"
            " catalogue says 50 %%, mostly 33 to 67 %% are true)",
        )

    def handle(
        self,
        *args: Any,  # noqa: ARG002
        seed: int,
        instruments: int,
        off_by: float,
        **options: Any,  # noqa: ARG002
    ) -> None:
        """Run both trials and print their scores."""
        half = (instruments + 1) // 2
        own = self._scores("own", half, Random(seed), 0.0)  # noqa: S311 (no secret)
        others = self._scores("off", instruments - half, Random(seed + 1), off_by)  # noqa: S311
        self._print("Drawn from the catalogue's own figures", own)
        self._print(f"Drawn from figures that are off by {off_by:g}", others)

    def _scores(self, figures: str, count: int, random: Random, off_by: float) -> Scores:
        """Return the scores of so many instruments, the actions by turns."""
        scores = Scores()
        trials = [_trial(action, random, off_by) for action in Action.values]
        for done in range(1, count + 1):
            trials[done % len(trials)].run_one(scores)
            if done % PROGRESS_EVERY == 0:
                self.stderr.write(f"{figures} figures: {done} of {count} instruments")
        return scores

    def _print(self, title: str, scores: Scores) -> None:
        if not scores.before.notes:
            return
        self.stdout.write(f"\n{title}")
        self._print_ranked("before any check", scores.before)
        self._print_ranked("after the checks of the best order", scores.after)
        self.stdout.write("  probability said   came true   how often said")
        for each in scores.bins:
            said, true = f"{each.mean_said:.0%}", f"{each.share_true:.0%}"
            self.stdout.write(f"  {said:>16}   {true:>9}   {len(each.said):>14}")
        notes = scores.after.notes
        self._print_searched("best order", scores.best, notes)
        self._print_searched("fixed order", scores.fixed, notes)
        saved = scores.fixed.minutes - scores.best.minutes
        share = saved / scores.fixed.minutes if scores.fixed.minutes else 0.0
        self.stdout.write(f"  minutes saved a note: {saved / notes:.1f}, {share:.0%}")

    def _print_ranked(self, when: str, ranked: Ranked) -> None:
        self.stdout.write(
            f"  {when}: a true cause first on {ranked.first / ranked.notes:.0%} and among three on"
            f" {ranked.among_three / ranked.notes:.0%} of {ranked.notes} bad notes"
        )

    def _print_searched(self, order: str, searched: Searched, notes: int) -> None:
        self.stdout.write(
            f"  {order}: {searched.minutes / notes:.1f} minutes and {searched.checks / notes:.1f}"
            f" checks a note; sure of a cause on {searched.found / notes:.0%}, rightly on"
            f" {searched.right / notes:.0%}"
        )


def _trial(action: str, random: Random, off_by: float) -> Trial:
    figures = figures_of(action, Learnt())
    if not figures.causes:
        raise CommandError("The catalogue is empty: run load_catalogue first.")
    real = perturbed(figures, random, off_by) if off_by else figures
    sure = float(ShopProfile.objects.get().cause_sure_percent) / 100
    return Trial(figures, Nature(real, random), check_works(action), sure)
