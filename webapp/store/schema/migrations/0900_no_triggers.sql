-- Whoever changes what a calendar shows steps its version itself (calendar_shows_more in store/base.py): an engine that
-- spreads households over machines knows no triggers.
DROP TRIGGER calendar_plan_added;
DROP TRIGGER calendar_event_added;
DROP TRIGGER calendar_bake_dropped;
DROP TRIGGER calendar_bake_deleted;
DROP TRIGGER calendar_kitchen_changed;
