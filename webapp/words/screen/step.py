"""What the step on the kitchen screen says beside its plan: phrases by their keys, as `screen/sheets.py` has them."""

from __future__ import annotations

from collections.abc import Mapping

STEP: Mapping[str, str] = {
    # The step that fills the screen, and what is due beside it.
    "now": "Now",
    "dough now": "Dough now",
    "it is there": "It is there",
    "dough goes now": "Where the dough goes now",
    "dough goes": "Where the dough goes",
    "due as well": "Due as well",
    "due too": "Due too:",
    "so much for supper": "{dough}, supper {at}",
    "heard writing": "Heard: writing …",
    "at": "At {clock}",
    "due since": "Due since {clock}",
    "in": "in {left}",
    "i did it earlier": "I did it earlier",
    "done at another time": "Done at another time",
    "running late": "Running late",
    "caution": "Caution",
    "cautions": "{count} cautions",
    "one more caution": "One more caution",
    "more cautions": "{count} more cautions",
    "next step": "Next step",
    "then": "Then",
    "dough": "Dough: {heat}",
    # Weigh out; what was made of an over-pour; another pan.
    "stir so often": "Stir all that {glasses} times.",
    "more than planned": "{kind}: {now} % of the flour in place of {planned} %.",
    "take back what": "Take back: {what}",
    "the other one": "the other one",
    "for the pan": "For {pan}: {times} times the planned dough, yeast too.",
    "the other pan": "the other pan",
    "weigh out": "Weigh out in this order",
    "too much went in": "Too much went in",
    "other yeast": "Other yeast",
    "bakes less": "It bakes about {less} less.",
    "all bakes longer": "All of the dough is on the tray: about {more} more in the oven.",
    "all bakes as long": "All of the dough is on the tray: about as long in the oven.",
    "over the pan": (
        "The dough is {over} more than this pan takes. Cut that off first: a bread of its own, or covered in the "
        "fridge for tomorrow."
    ),
    "over the pans": (
        "The dough is {over} more than these pans take, all together. Cut that off first: a bread of its own, or "
        "covered in the fridge for tomorrow."
    ),
    "all of it goes in": "All of it goes in",
    "as thick as planned": "It lies {times} times as thick as planned.",
    "more went in": (
        "More went in than asked for: everything rises with it. The dough is {dough} now, {percent} % more."
    ),
    "more goes in": "{grams} more goes in.",
    "it is in": "It’s in",
    "that line is in": "{line}: it’s in",
    "yeast": "Yeast: {yeast}",
    # How the dough looks and springs back; a fold that nobody does.
    "poke it": "Poke it: how does it spring back?",
    "first look": "First: how does it look?",
    "the glass reads": "The glass reads {times}",
    "other": "Other",
    "another reading": "Another reading",
    "or by the glass": "Or by the glass:",
    "load then eat": "into the oven {at}, eat {eat}.",
    "press then eat": "press out {at}, eat {eat}.",
    "best too late": "It would be best about {best}: too late for supper.",
    "past its best": "It does not get better by waiting.",
    "heard and changed": "{said}: now {then}",
    "heard": "{said}: nothing changes, {then}",
    "noted": "Noted",
    "not folded go on": "Not folded: go on",
    "leave the folds out": "Leave the folds out",
    "leave this fold out": "Leave this fold out",
    "glass": "Glass: {times} times its first height",
    "poked": "Poked: {said}",
    # The oven, and bread with no oven.
    "oven broken": "Oven broken?",
    "is the oven hot": "Is the oven hot?",
    "not hot yet": "Not hot yet: 5 minutes",
    "how does it look": "How does it look?",
    "out by": "Out by {at} in any case.",
    "take it out now": "Take it out now.",
    "needs less": "{minutes} min in the oven, and such a bake needs {needed}.",
    "if it smokes oven off": "If it smokes: oven off, door shut.",
    "is it out already": "Is it out already? Say “{out}”.",
    "flat bread": "Flat bread from the pan",
    "not on the hob": "Not on the hob after all",
    "baked on the hob": "Baked in a pan on the hob: the oven did not work.",
    "dial": "Dial",
    "shelf": "Shelf",
    "minute": "Minute",
    "since loading": "{minutes} since loading",
    "inside": "Inside",
    "minute by minute": "Minute by minute",
    "baked after": "Baked after {minutes} min.",
    "loads one by one": "{loads} loads, one after the other.",
    "from to": "{low} to {high}",
    "dial off": "off",
    "empty oven": "empty",
    "hot again since": "should be hot again since {clock}",
    "hot since": "should be hot since {clock}",
    "hot again at": "should be hot again at {clock}, in {ahead}",
    "hot at": "should be hot at {clock}, in {ahead}",
    "dial to": "Dial to {dial}",
    # What was said last.
    "said done": "{done}: {step}, {at}",
    "room": "Room: {heat}",
    "left out": "Left out: {step}",
    "dough moved": "Dough moved: {place}",
    "somewhere else": "somewhere else",
    "put off until": "Put off until {at}",
    "supper moved": "Supper moved: {at}",
    "other pan": "Other pan: {pan}",
    "it looks": "It looks: {said}",
    "as told": "as told",
    "looks in the oven": "In the oven: {said}",
    "another": "another",
    "all on the tray": "All of the dough on the tray",
    "going on": "Going on: {way}",
    "taken": "Taken: {way}",
    "changed": "Changed: {way}",
    "way and supper": "{way} · supper {at}",
    "said late": "{off} late (planned until {at})",
    "said early": "{off} early (planned for {at})",
    "best for the oven": "The dough is now best for the oven about {at} (was {was}){late}.",
    "best to press": "The dough is now best to press out about {at} (was {was}){late}.",
    "supper is now at": "Supper is now at {at} (was {was}).",
    "take back": "Take back",
    "other ways": "Other ways",
    "too late for supper": ": too late for supper",
    "how on the hob": (
        "Young or old, the dough is good for it; straight from the fridge it stands half an hour "
        "first.\nAbout {count} pieces of {each}, pressed to the thickness of a pencil (5 mm).\nA heavy dry "
        "pan, five minutes on medium heat. A piece in, lid on, three minutes; brown freckles below: turn it, "
        "three more. In one pan some {minutes} for all.\nWhat goes on top goes on after turning, lid on "
        "until the cheese has melted.\nDone: no wet streak when torn, {done} in the middle."
    ),
    "lower heat and longer": "With milk, egg or sugar in it: lower heat and longer, for it browns sooner.",
    "hot pan nobody leaves": (
        "The pan is as hot as an oven: dry mitt, handle turned in, no oil in it, and nobody leaves it. Raw "
        "meat or egg is cooked through in another pan first. Fat on fire: lid on, heat off, never water."
    ),
}
