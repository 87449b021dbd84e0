"""A programme's list: its order, its lengths, what stands too close, what to fetch for it."""

from datetime import timedelta

import pytest

from catalogue import catalogue_rows, loans, play_log, programmes, pull_list, running_order, undo
from catalogue import request_slips as slips
from catalogue.errors import BadInput, ChangedMeanwhile, NotFound
from catalogue.records import Carrier, NewDisc, NewHolding
from catalogue.running_order import of
from catalogue.too_close import Shared, TooClose, in_list


@pytest.fixture
def show(store, now):
    return programmes.add(
        store, "Evening Requests", "Ada", now, now + timedelta(hours=1), "Dora", now
    )


def _slip(store, now, record, after=0):
    slip = slips.start(store, "request", "Kit", now)
    slips.choose(store, slip, record, None, "Kit", now)
    slips.hand_over(store, slip, "Studio 1", "Kit", now + timedelta(minutes=after))
    return slip


def _titles(store, show, now):
    return [i.recording.title if i.recording else "" for i in of(store, show, now).items]


def test_slips_and_records_by_hand_in_one_order(store, now, add, show):
    tide, mud, ebb = (add(title, f"{title} Band", length_s=180) for title in ("Tide", "Mud", "Ebb"))
    slip = _slip(store, now, tide)
    running_order.put_in(store, show, mud, None, "Ada", now)
    _slip(store, now, ebb, after=1)
    assert _titles(store, show, now) == ["Mud", "Tide", "Ebb"]
    running_order.move(store, show, f"s{slip}", -1, "Ada", now)
    assert _titles(store, show, now) == ["Tide", "Mud", "Ebb"]
    first = of(store, show, now).items[0]
    running_order.move(store, show, first.key, 99, "Ada", now)
    assert _titles(store, show, now) == ["Mud", "Ebb", "Tide"]
    running_order.take_out(store, show, of(store, show, now).items[0].key, "Ada", now)
    assert _titles(store, show, now) == ["Ebb", "Tide"]


def test_lengths_and_what_is_left(store, now, add, show):
    for n in range(3):
        running_order.put_in(
            store, show, add(f"Tide {n}", f"Band {n}", length_s=600), None, "A", now
        )
    running_order.put_in(store, show, add("Mud", "Who"), None, "A", now)
    order = of(store, show, now - timedelta(hours=3))
    assert order.to_come_s == 1800 + programmes.USUAL_S and order.unknown_lengths == 1
    assert order.left_s == 3600 - order.to_come_s
    late = of(store, show, now + timedelta(minutes=50))
    assert late.left_s == 600 - late.to_come_s < 0


def test_what_was_played_stays_in_the_list_with_its_time(store, now, add, show):
    tide, mud = add("Tide", "Ann Oke", length_s=200), add("Mud", "Ben Tarn", length_s=100)
    slip = _slip(store, now, tide)
    item = running_order.put_in(store, show, mud, None, "Ada", now)
    slips.played(store, slip, "Ada", now + timedelta(minutes=1))
    later = now + timedelta(minutes=5)
    play = running_order.played_by_hand(store, show, f"i{item}", "Studio 1", "Ada", later)
    order = of(store, show, later)
    assert [i.played_at for i in order.items] == ["2026-11-25T19:35:00", "2026-11-25T19:31:00"]
    assert order.to_come_s == 0
    assert play_log.get(store, play).programme_id == show
    with pytest.raises(BadInput, match="played already"):
        running_order.played_by_hand(store, show, f"i{item}", "Studio 1", "Ada", later)
    play_log.strike(store, play, "Ada", later)
    assert of(store, show, later).to_come_s == 100


def test_slips_of_other_programmes_and_those_not_used_are_not_in_it(store, now, add, show):
    tide = add("Tide", "Ann Oke")
    gone, other = _slip(store, now, tide), _slip(store, now, tide)
    slips.not_used(store, gone, "no time", "Ada", now)
    running_order.move(store, show, f"s{other}", 0, "Ada", now)
    assert len(of(store, show, now).items) == 1
    slips.withdraw(store, other, "Kit", now)
    assert of(store, show, now).items == ()


def test_changing_the_order_is_taken_back_whole(store, now, add, show):
    for title in ("Tide", "Mud", "Ebb"):
        _slip(store, now, add(title, title))
    before = _titles(store, show, now)
    running_order.move(store, show, of(store, show, now).items[2].key, -2, "Ada", now)
    assert _titles(store, show, now) == ["Ebb", "Tide", "Mud"]
    undo.take_back(store, undo.recent(store)[0].id, "Ada", now)
    assert _titles(store, show, now) == before


def test_wrong_lines_are_refused(store, now, add, show):
    tide, mud = add("Tide", "Ann Oke"), add("Mud", "Ann Oke")
    with pytest.raises(NotFound):
        running_order.put_in(store, 99, tide, None, "Ada", now)
    with pytest.raises(BadInput, match="not of this recording"):
        running_order.put_in(
            store, show, tide, catalogue_rows.holdings_of(store, [mud])[mud][0].id, "Ada", now
        )
    with pytest.raises(ChangedMeanwhile, match="not in the list any more"):
        running_order.move(store, show, "i99", 1, "Ada", now)


def test_the_same_record_artist_or_album_too_close_is_said(store, now, add, show):
    records = [
        add("Tide", "Ann Oke", length_s=300, album="Estuary"),
        add("Mud", "Ann Oke", length_s=300),
        add("Ebb", "Ben Tarn", length_s=300, album="Estuary"),
        add("Spit", "Cy Marl", length_s=300),
    ]
    for record in (*records, records[0]):
        running_order.put_in(store, show, record, None, "Ada", now)
    assert in_list(store, of(store, show, now), now) == [
        TooClose(Shared.ARTIST, "Ann Oke", 1, 2, 5),
        TooClose(Shared.ALBUM, "Estuary", 1, 3, 10),
        TooClose(Shared.RECORDING, "Tide", 1, 5, 20),
    ]


def test_far_enough_apart_is_not_said(store, now, add):
    day = programmes.add(store, "All day", "", now, now + timedelta(hours=9), "Dora", now)
    tide = add("Tide", "Ann Oke", length_s=61 * 60)
    for record in (tide, add("Mud", "Ann Oke", length_s=60)):
        running_order.put_in(store, day, record, None, "Ada", now)
    assert in_list(store, of(store, day, now), now) == []


def test_what_went_out_this_afternoon_is_too_close_tonight(store, now, add, show):
    tide = add("Tide", "Ann Oke")
    play_log.record(store, tide, None, "Studio 1", None, "Ada", now - timedelta(hours=4))
    running_order.put_in(store, show, tide, None, "Ada", now)
    assert in_list(store, of(store, show, now), now) == [
        TooClose(Shared.RECORDING, "Tide", 0, 1, 240)
    ]


def test_two_slips_for_one_record_are_one_play(store, now, add, show):
    tide = add("Tide", "Ann Oke")
    _slip(store, now, tide)
    _slip(store, now, tide, after=1)
    assert in_list(store, of(store, show, now), now) == []


def _on_disc(store, now, add, title, mark, side="1"):
    record = add(title, f"{title} Band", file=False)
    with undo.action(store, "Test", "a disc", now):
        disc = catalogue_rows.shelve_disc(store, NewDisc(Carrier.LP, mark))
        copy = catalogue_rows.add_holding(
            store, NewHolding(record, disc_id=disc, side=side, track="3")
        )
    return record, copy, disc


def test_what_to_fetch_is_in_the_order_of_the_shelf(store, now, add, show):
    discs = {}
    for title, mark in (("Tide", "C 114"), ("Mud", "C 9"), ("Ebb", "B 20")):
        record, copy, discs[title] = _on_disc(store, now, add, title, mark)
        running_order.put_in(store, show, record, copy, "Ada", now)
    running_order.put_in(store, show, add("On file", "Who"), None, "Ada", now)
    pulls = pull_list.of(store, of(store, show, now))
    assert [p.disc.shelf_mark for p in pulls] == ["B 20", "C 9", "C 114"]
    assert pulls[0].wanted == (("Ebb", "1", "3"),)
    assert pull_list.pull(store, show, list(discs.values()), "Kit", now) == 3
    assert pull_list.pull(store, show, list(discs.values()), "Kit", now) == 0
    assert all(p.pulled_at for p in pull_list.of(store, of(store, show, now)))
    assert [d.shelf_mark for d, _ in pull_list.to_put_away(store)] == ["B 20", "C 9", "C 114"]
    assert pull_list.put_away(store, [discs["Mud"]], "Kit", now) == 1
    assert [(d.shelf_mark, by) for d, by in pull_list.to_put_away(store, show)] == [
        ("B 20", "Evening Requests"), ("C 114", "Evening Requests"),
    ]  # fmt: skip


def test_a_lent_disc_is_not_fetched(store, now, add, show):
    record, copy, disc = _on_disc(store, now, add, "Tide", "C 114")
    loans.lend(store, disc, "the north studio", None, "Kit", now)
    running_order.put_in(store, show, record, copy, "Ada", now)
    assert pull_list.of(store, of(store, show, now))[0].lent_to == "the north studio"
    with pytest.raises(BadInput, match="on loan to the north studio"):
        pull_list.pull(store, show, [disc], "Kit", now)
