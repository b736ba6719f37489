"""What the sheets of the kitchen screen ask and answer: a phrase by its key, which is English in short.

It travels in every bundle. A phone whose bundle was packed before there was a phrase shows its key, with the figures
behind it (`phraseOf` in `static/js/lib/labels.js`); what is in braces is put in there.
"""

from __future__ import annotations

from collections.abc import Mapping

from webapp.core.plan.caution import OUT_LIMIT_S
from webapp.words.pages.book import WRITTEN
from webapp.words.times import duration_words

_OUT = duration_words(OUT_LIMIT_S)  # in all, for what may not stand in the warm

SHEETS: Mapping[str, str] = {
    # How it came out, where the dough is, the glass, a thermometer.
    "written down": WRITTEN,
    "how did it come out": "How did it come out?",
    "all good": "All good",
    "write it down": "Write it down",
    "where is it": "Where is the dough now?",
    "or exactly": "Or exactly, times its first height",
    "glass height": "How high does the glass stand?",
    "the glass reads this": "The glass reads this",
    "so warm it is": "That is how warm it is",
    "so for an hour": "So for the last hour",
    "so since": "So since it was mixed, {at}",
    "room warmth": "How warm is it where the dough stands?",
    "kitchen thermometer": "The thermometer in the kitchen says",
    "the plan thinks": (
        "The plan thinks {heat} now. From when it is so, the day keeps its ups and downs, warmer or colder by the "
        "difference."
    ),
    "dough warmth": "How warm is the dough?",
    "dough thermometer": "The thermometer in the dough says",
    "it should be at": "It should be at {heat}. The times follow from what you measured.",
    "it should come to": "Mixed, it should come to {heat}. The times follow from what you measured.",
    # Later, or hours before its plan; done at another time than now.
    "later by": "{by} later",
    "i can at": "I can at",
    "when can you": "{step}: when can you?",
    "show then": "Show what happens then",
    "in the oven": "It is in the oven",
    "what now": "What shall we do?",
    "what helps": "What helps",
    "that is over": "{at} is over, {ago} ago.",
    "i can now": "I can now",
    "i can": "I can at {at}",
    "if you go on": "If you go on",
    "go by this": "Go by this",
    "ready early": "Ready {at}, {early} before supper.",
    "supper late": "Supper at {at}, {late} late.",
    "supper as wanted": "Supper as wanted, {at}.",
    "yes it is done": "{done}: yes, it is done",
    "lit early": (
        "By the plan it is due {due}, in {ahead}. If it is on, turn it off again until then. Then this is what "
        "comes of it:"
    ),
    "done early": "By the plan it is due {due}, in {ahead}. Is it really done? Then this is what comes of it:",
    "yes": "Yes, {done}: ",
    "before the plan": "{done}, {early} before the plan?",
    "no turn it off": "No: turn it off again",
    "no not yet": "No, not yet",
    "just now": "Just now",
    "so long ago": "{ago} ago",
    "as planned": "As planned",
    "or at": "Or at this time",
    "when done": "{step}: done when?",
    "it was not folded": "It was not folded: go on",
    "it was done then": "It was done then",
    "it was": "It was at {at}",
    "still ahead": "{at} is still ahead, in {ahead}. When it is done, say so then.",
    "it was on": "It was {day} at {at}",
    "it is done now": "It is done now",
    # An oven that does not work, another pan, another yeast.
    "the oven is broken": "The oven is broken",
    "another evening": "Another evening",
    "it waits for": "It waits for {day}",
    "in another oven": "In another oven",
    "i can bake it at": "I can bake it at …",
    "another pan": "Another pan",
    "on the hob": "On the hob, as flat bread",
    "bake it on the hob": "Bake it on the hob",
    "length or across": "Length, or across when it is round",
    "width": "Width (leave empty when it is round)",
    "it is oval": "It is oval, not with corners",
    "how many": "How many of them",
    "which pan": "Which pan instead?",
    "show new dough": "Show the new dough",
    "planned pan": "Back to the planned pan",
    "so much dough": "{dough} of dough, {times} times the planned one; toppings the same way.",
    "bake in this pan": "Bake in this pan",
    "pan of": "{size} pan",
    "which yeast": "Which yeast is it?",
    "so much yeast": "{name}: {grams}",
    "so much yeast water": "{name}: {grams} of its water",
    # A line that has no tick.
    "is all of it in": "Is all of it in?",
    "not ticked": "{names} is not ticked: is it in?",
    "are not ticked": "{names} are not ticked: are they in?",
    "yes it is in": "Yes, it is in: {done}",
    "yes all is in": "Yes, all of it is in: {done}",
    "no back to the list": "No: back to the list",
    # More in the bowl than was asked for.
    "too much of what": "Too much of what?",
    "all that is in": "{line}: all that is in",
    "how much is in the bowl": "Give how much of this line is in the bowl.",
    "that much is in": "That much is in",
    "it was not more": "It was not more after all",
    "asked for": "{target} was asked for.",
    "is less": "{grams} is less than the {target} asked for: {grams} too much?",
    "so much too much": "{grams} too much: {all} is in",
    "only so much": "Only {grams} is in: {more} more goes in",
    "all grows with it": "It stays, and all else grows with it: {dough}",
    "not too much": "{target} is asked for by now: that is not too much.",
    "it stays as it is": "It stays as it is",
    "too much and dry": "{grams} too much. What lies dry on top can be spooned off again.",
    "too much": "{grams} too much.",
    "i spoon off": "I spoon {grams} off",
    "if it stays": "If it stays: {percent} % of the flour in place of {planned} %.",
    "it stays": "It stays: {percent} % {kind}",
    "grown over the pan": (
        "With all else grown it is {dough} of dough, and this pan takes {pan}: {over} is left over. Cut that off "
        "before it is pressed out: a bread of its own, or covered in the fridge for tomorrow."
    ),
    "all grown": "With all else grown it is {dough} of dough.",
    "more yeast": (
        "That is {percent} % more yeast. Left so, the dough rises about {quick} % quicker. If all else grows "
        "with it, salt and times stay as planned."
    ),
    "more yeast water": (
        "That is {percent} % more yeast. Left so, the dough rises about {quick} % quicker. It brings {water} "
        "of water too: take so much less of the other, or the dough is softer. If all else grows with it, "
        "salt and times stay as planned."
    ),
    "until the next step": (
        "From now until the next step. Cover it wherever it goes; the warm spot must stay under {warm}."
    ),
    "the oven is hot": (
        "From now until the next step. Cover it wherever it goes; the warm spot is the oven, and that is hot now."
    ),
    "take it out first": "It stands in the oven, its warm spot: take it out, covered, before that is lit.",
    "wait in the cold": (
        "Only if there will be an oven by then. At {cold} or less, covered, such a dough keeps some two days."
    ),
    "wait with milk": (
        "Only if there will be an oven by then. With milk or egg in it this dough may be out of the fridge "
        f"for {_OUT} in all; baked by then or thrown away."
    ),
}
