"""Trim and exchange on made-up costs, with a check that is a simple sum."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from groundstrap.design.trim import Choice, MayPass, Passes, TrimItem, exchange, trim

AREAS = (1.0, 1.5, 2.5, 4.0, 6.0)


def _item(name: str, length_m: float, *, least: int = 0, price: tuple[float, ...] = AREAS) -> TrimItem:
    cost = tuple(length_m * each for each in price)
    return TrimItem(name=name, least=least, length_m=length_m, cost=cost, carries=frozenset({"lamp"}))


def _within(budget: float, lengths: Mapping[str, float]) -> Passes:
    """Passes where the sum of length over area of all is within a budget."""

    def passes(choices: Sequence[Choice]) -> list[bool]:
        spent = (sum(length / AREAS[each[name]] for name, length in lengths.items()) for each in choices)
        return [each <= budget + 1e-12 for each in spent]

    return passes


def _any(at: Mapping[str, int]) -> MayPass:
    """Rules none out."""
    del at
    return lambda _: True


def test_the_step_that_saves_most_goes_first() -> None:
    lengths = {"long": 4.0, "short": 1.0}
    items = tuple(_item(name, length) for name, length in lengths.items())
    # 4/4 + 1/4 = 1.25; the long one down makes 1.85, the short one 1.4, both 2.0.
    assert trim(items, {"long": 3, "short": 3}, _within(1.9, lengths)) == {"long": 2, "short": 3}


def test_of_equal_savings_the_first_by_name() -> None:
    items = (_item("b", 2.0), _item("a", 2.0))
    # 2/4 + 2/4 = 1.0, one of them down 1.3.
    assert trim(items, {"b": 3, "a": 3}, _within(1.3, {"a": 2.0, "b": 2.0})) == {"a": 2, "b": 3}


def test_nothing_goes_below_its_own_least() -> None:
    assert trim((_item("a", 2.0, least=2),), {"a": 4}, _within(100.0, {"a": 2.0})) == {"a": 2}


def test_a_thinner_size_that_costs_more_is_not_taken() -> None:
    item = _item("a", 2.0, price=(1.0, 9.0, 2.0, 3.0, 4.0))
    assert trim((item,), {"a": 2}, _within(100.0, {"a": 2.0})) == {"a": 2}


def test_one_up_that_pays_by_one_down() -> None:
    # The feeder up spares 0.5/2.5 - 0.5/4 = 0.075 and costs 0.75; a branch down spends 1/2.5 - 1/4 = 0.15
    # and saves 1.5. With 0.08 left that is just enough for one, and the first by name goes.
    lengths = {"feeder": 0.5, "left": 1.0, "right": 1.0}
    items = tuple(_item(name, length) for name, length in lengths.items())
    passes = _within(0.5 / 2.5 + 2 / 4 + 0.08, lengths)
    swapped = exchange(items, {"feeder": 2, "left": 3, "right": 3}, passes, _any)
    assert swapped == {"feeder": 3, "left": 2, "right": 3}


def test_one_up_that_only_two_downs_together_pay_for() -> None:
    # The feeder up spares 1/4 - 1/6 = 0.083 and costs 2; a branch down saves 1.2 and spends
    # 0.15/1.5 - 0.15/2.5 = 0.04, more than the 0.03 that are left.
    steep = (0.0, 8.0, 16.0, 24.0, 32.0)
    lengths = {"feeder": 1.0, "left": 0.15, "right": 0.15}
    items = (_item("feeder", 1.0), _item("left", 0.15, price=steep), _item("right", 0.15, price=steep))
    passes = _within(1 / 4 + 2 * 0.15 / 2.5 + 0.03, lengths)
    start = {"feeder": 3, "left": 2, "right": 2}
    assert trim(items, start, passes) == start
    assert exchange(items, start, passes, _any) == {"feeder": 4, "left": 1, "right": 1}


def test_circuits_without_a_load_in_common_are_no_pair() -> None:
    one = _item("one", 0.1)
    other = TrimItem(
        name="other", least=0, length_m=1.0, cost=_item("", 1.0).cost, carries=frozenset({"radio"})
    )
    lengths = {"one": 0.1, "other": 1.0}
    start = {"one": 0, "other": 1}
    budget = 0.1 + 1 / 1.5
    assert exchange((one, other), start, _within(budget, lengths), _any) == start
