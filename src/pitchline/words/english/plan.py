"""What is said of a plan of lay-ups."""

from pitchline.words.english import Sentence

SENTENCES: dict[str, Sentence] = {
    "part": "{place:place}",
    "links": "link rail, {side:side}",
    "not_read": "{place:place}: not read",
    "looked_into": "{part:parts}: at the limit it is looked into, which is no job to plan",
    "turn_not_on_list": "turning bushes: not on the price list, so no turn is planned",
    "past_limit": "Past its limit a part ruins {ruined:percent} of its price at once, and for each hour {times:g} hours of a new one's "
    "life, at most its price; then it breaks, and the machine stands {stands_h:g} hours unplanned, as it does again when the next "
    "one breaks (our assumption).",
    "stops_by_middle": "What stops the machine at its limit is renewed, or turned, before it is likelier past it than not (our rule).",
    "past_turn": "Past the turn point the worth of the other face, half a chain, is lost evenly up to the limit (our assumption).",
    "with_new_chain": "A new chain comes with new bushes and a new sprocket on its side (common practice).",
    "sides_together": "Chains, shoes, pads, rubber tracks and sprockets are renewed on both sides together, bushes turned likewise "
    "(common practice).",
    "sides_apart": "Left and right planned apart, because their hours left are too far apart: {parts:parts_listed}.",
    "guessed": "Planned by the machine's other parts alone: {places:also}. Measure before anything is ordered.",
    "no_sale": "No sale is planned: life left at the end counts by its share of the price as new.",
    "at_the_sale": "At the sale a buyer pays {paid:percent} of the worth of the life left (our assumption).",
    "no_interest": "No interest is counted.",
    "lay_ups_free": "The price list has no cost of a lay-up: lay-ups are free but for their jobs. Enter one.",
    "one_season": "No hours a week are entered: the season is that of today throughout.",
    "calls_aside": (
        "The plan keeps to what the verdict books. Leaving that aside would cost {currency} {saved} less, as expected: {would:also}. "
        "That saves what a chance of passing a limit is reckoned at here; where you rather take the chance, put the lay-up there by hand."
    ),
    "left_unrenewed": "leave {places:places} until the end instead of renewing them",
    "left_unturned": "leave {places:places} until the end instead of turning them",
    "left_unshod": "leave {places:places} until the end instead of re-shoeing",
    "done_later": "{job:job} {places:places} at {at_h} h only",
    "chain_unrenewed": "{job:job} the chain of {places:places} at {at_h} h instead of renewing them",
    "chain_unturned": "{job:job} the chain of {places:places} at {at_h} h instead of turning them",
    "chain_unshod": "{job:job} the chain of {places:places} at {at_h} h instead of re-shoeing",
    "made_pointless": "Not done by itself, because the part is renewed at the first lay-up: {jobs:also}.",
    "job_at": "{job:job} {places:places}",
    "no_lay_up_pays": "No lay-up pays: up to the end {passed:.1f} limits are passed on average{lost}, "
    "which is less than lay-ups and jobs would cost.{more} Read it again before then.",
    "at_a_loss_of": ", at an expected loss of {currency} {amount}",
    "cheapest_other": " The cheapest other way with a lay-up costs {currency} {amount} more.",
    "bushes_not_turned_past": "Bushes are not turned: the chain is renewed at {at_h} h in any case, about {apart_h} h past their turn point, "
    "and a turn before it would cost more than the hours it adds.",
    "bushes_not_turned_before": "Bushes are not turned: the chain is renewed at {at_h} h in any case, about {apart_h} h before their turn "
    "point, and a turn before it would cost more than the hours it adds.",
    "sprockets_twice": "Sprockets are renewed at {at_h} h, because they would not last to the new chain, and again with it at {chain_h} h: "
    "a new chain on worn sprockets wears fast.",
    "sprockets_twice_now": "Sprockets are renewed now, because they would not last to the new chain, and again with it at {chain_h} h: "
    "a new chain on worn sprockets wears fast.",
    "close_at_once": "What must not work on is renewed before the machine works again; the next lay-up waits for parts with hours left.",
    "close": "The lay-ups at {one_h} and {other_h} h lie close: moving either to the other throws away more life, or risks more, than a "
    "lay-up costs. Where that is not so, raise the cost of one.",
}
