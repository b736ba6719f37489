import ICAL from "ical.js";
import { readFileSync } from "node:fs";
const root = new ICAL.Component(ICAL.parse(readFileSync(process.argv[2], "utf8")));
const found = {};
for (const part of root.getAllSubcomponents("vevent")) {
  const event = new ICAL.Event(part);
  const alarms = part.getAllSubcomponents("valarm").map((a) => a.getFirstPropertyValue("trigger").toSeconds());
  found[event.uid] = [event.startDate.toUnixTime(), event.endDate.toUnixTime(), alarms];
}
console.log(JSON.stringify(found));
