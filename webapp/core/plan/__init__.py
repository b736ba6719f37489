"""The frozen records that every room of the house shares: a plan, its steps, its rise, its oven, its cautions.

A plan is made once and never changed; what happened afterwards is a journal of events (`event.py`), and the present
is a fold of both (`state.py`, `retimed.py`). Everything a phone needs with no connection is inside the plan: the rate
table of the dough, the shares by which it warms and cools, and the facts that its texts are made from.

A plan holds facts. Fields marked "shown" are empty in what is planned and stored: `words/spoken.py` fills them when a
page, a bundle or a calendar shows the plan, in today's words. Plans stored before there were facts hold what they said
then, and are shown with that (`words/stored_plans.py`).

Units, always in the name where they are not obvious:
    instants   int, UTC seconds since 1970-01-01 (never a local datetime)
    durations  int seconds (`_s`) or float hours (`_h`)
    mass       float grams (`_g`)      area  float cm2 (`_cm2`)
    heat       float degrees Celsius (`_c`)
    percent    float, of the flour (baker's percent)
    progress   float, the fermentation model's P: the dough has risen by E (volume increase) when P = E ** m

Only builtin types, str, int, float, bool, None, and tuples of records: `records.py` turns any of these into plain
dicts and back without loss.
"""
