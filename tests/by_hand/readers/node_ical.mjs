import ical from "node-ical";
import { readFileSync } from "node:fs";
const found = {};
for (const e of Object.values(ical.sync.parseICS(readFileSync(process.argv[2], "utf8")))) {
  if (e.type !== "VEVENT") continue;
  const alarms = (e.alarms ?? []).map((a) => { const [, sign, h, m] = /^(-?)PT(?:(\d+)H)?(?:(\d+)M)?$/.exec(a.trigger); return (sign ? -1 : 1) * (Number(h ?? 0) * 3600 + Number(m ?? 0) * 60) + 0; });
  found[e.uid] = [e.start.getTime() / 1000, e.end.getTime() / 1000, alarms];
}
console.log(JSON.stringify(found));
