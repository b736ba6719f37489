"""What stands below the step on the kitchen screen, in phrases by their keys, as `screen/sheets.py` has them."""

from __future__ import annotations

from collections.abc import Mapping

from webapp.words.shared import BAKE_TITLE

BELOW: Mapping[str, str] = {
    # What it is called; where it stands.
    "bake for": BAKE_TITLE,
    "about": "about {wait}",
    "where it stands": "Where it stands",
    "what helps here": "What helps?",
    "ready": "Ready {at}",
    "before supper": "{early} before supper ({supper}).",
    "supper on time": "Supper {at}: on time.",
    "supper as agreed": "Supper {at}: as agreed.",
    "supper": "Supper at {at}",
    "later than wanted": "{late} later than wanted.",
    "back on the bench": "It’s back on the bench",
    "the glass read": "The glass read ×{times} {at}. All in all:",
    "it rises as planned": "It rises as planned.",
    "quicker": "It is {pace} times as quick as planned.",
    "slower": "It is {pace} times as slow as planned.",
    "once there": "once {where}, the dough",
    "the dough there": "the dough {where}",
    "between": "between {low} and {high}",
    "it is at": "{dough} is at about {heat} and {times} its first volume{between}.",
    "the day as a picture": "The day as a picture",
    "as of": "as of {at}",
    "bakes in this phone": "Bakes in this phone",
    "other bakes in this phone": "Other bakes in this phone",
    # All steps; ways from here.
    "all steps": "All steps",
    "fold left out": "Left out: the dough goes on by its rise.",
    "taken as done": "Taken as done: a later step is.",
    "it is done": "It is done",
    "that is done": "It is done: {step}",
    "leave it out": "Leave it out",
    "leave that out": "Leave it out: {step}",
    "one more way": "One more way",
    "more ways": "{count} more ways",
    "not to be eaten": "{way}, not to be eaten",
    "out by then": "Out of the fridge for {spent} by then: {act}.",
    "risen": "Risen {likely}.",
    "risen between": "Risen {likely}, between {low} and {high}.",
    "tray into the fridge": "Tray into the fridge",
    "eat": "eat {at}",
    # What is out of the fridge (cautions: a key says what to do).
    "out of the fridge": "Out of the fridge",
    "out on the tray": "{name}, on the tray: out of the fridge for {spent}",
    "out on a load": "{name}, on the tray of load {load}: out of the fridge for {spent}",
    "out for": "{name}: out of the fridge for {spent}",
    "out too long": "{said}. That is too long: {act}.",
    "bake or fridge now": (
        "{said}. The oven comes after {clock}, too late: bake it now, or the whole tray into the fridge."
    ),
    "back into the fridge now": "{said}. The oven comes after {clock}, too late: back into the fridge with it now.",
    "into the oven by": "{said}: into the oven by {clock} ({most} out at most).",
    "dough out too long": "{said}; {most} is the most. That is too long: {act}.",
    "dough too long then": "{said}. It would come to {come} before the oven; {most} is the most: {act}.",
    "most before the oven": "{said}; {most} is the most before the oven.",
    # All that can be told, a bake that is over, other bakes.
    "read the glass": "Read the glass",
    "the room is at": "The room is at …",
    "the dough is at": "The dough is at …",
    "move the dough": "Move the dough",
    "tell the kitchen": "Tell the kitchen",
    "was for": "This bake was for {at}",
    "never begun": (
        "It was never begun: nothing of it was told to the kitchen, so nothing rings any more. Was it baked after "
        "all, the list of steps and the book can still be told."
    ),
    "all done": "All done. Eat.",
    "do not eat it": "Not to be eaten",
    "heat no cure": "Baking does not make it good again.",
    "change or give up": "Change supper, or give it up",
    "it is written down": "How it came out is written down.",
    "how was it": "How did it come out? It goes into the book, now or when the server answers again.",
    "say more": "Say more",
    "how it came out": "How it came out",
    "to the book": "To the book",
    "eaten then": "eaten {supper}: how did it come out?",
    "supper then": "supper {supper}",
    # What another phone said of the dough that was mixed here.
    "not used": (
        "The dough that was mixed on this phone, {at}, is not used: that was said on another phone. The step here is "
        "of the other plan. What was told of that dough is kept."
    ),
    "go on with it after all": "Go on with that dough after all",
    # What a clock that was wrong has said.
    "when was it": "When was it: {step}?",
    "said for before": "{after} is said for before {before}",
    "keep it": "Keep it",
    "it was just now": "It was just now, at {at}",
    "it was then": "It was {ago} ago, at {at}",
    "ahead here": "That is still ahead, in {ahead}. Was the clock wrong when it was said?",
    "ahead there": ("That is still ahead, in {ahead}. It was said on another phone: one of the two clocks is wrong."),
    "behind": "{off} behind",
    "ahead": "{off} ahead",
    "take it back": "Take it back",
    "at another time": "At another time",
    "clock was": "The phone’s clock was {off} when that was said. When was it?",
    "clock perhaps": "The phone’s clock may have been {off} when that was said. When was it?",
    "one clock was wrong": "One of them was said by a wrong clock, and the times here follow from both.",
}
