// Writes e2e/newer_than_floor.txt: what browsers came to know after the oldest that README names, one "Interface.member" ("Interface:member" where it is the interface's own) a
// line. From the open tables of MDN (package @mdn/browser-compat-data, CC0), by hand:
//
//   cd SOMEWHERE && npm install @mdn/browser-compat-data && node REPO/e2e/by_hand/newer_than_floor.mjs > REPO/e2e/newer_than_floor.txt
//
// What only one of the three lacks is in it too: a page that does without all of these does with each of them.

import { createRequire } from "node:module";
import { join } from "node:path";

const tables = createRequire(join(process.cwd(), "here.js"))("@mdn/browser-compat-data");
const FLOOR = { chrome: 103, firefox: 100, safari: 16 };
// Nothing of these is ever used here, and their members are many.
const ELSEWHERE = /^(GPU|XR|USB|HID|RTC|MIDI|Bluetooth|WebGL|OES_|EXT_|WEBGL_|CSS[A-Z].*(Value|Rule|Component|Descriptors)|Media|Video|Audio|Speech|Sensor|Payment|Presentation|Temporal|Intl|SVG|VTT|Text[TD]|Web|ML|Encoded|Font|Ink|Shared|Fenced|Storage[AB]|Performance|Canvas|Offscreen|Image|FileSystem|Background|Cookie|Contact|Content|Credential|Digital|Identity|PublicKey|Push|Report|Trusted|View|Animation|Keyboard|Layout|Lock|Launch|Model|NDEF|Navigat(e|ion)|Observable|Periodic|PictureIn|Pressure|Private|Remote|Scheduler|Serial|Snapshot|Task|Translator|Language|Summarizer|Writer|Rewriter)/;

// The first version that has it, unprefixed, be it with faults that were mended later; none at all is later than any.
function since(support) {
  const rows = [support].flat().filter((one) => one && !one.prefix && !one.flags && one.version_added && one.version_added !== "preview");
  return Math.min(Infinity, ...rows.map((one) => parseFloat(String(one.version_added).replace("≤", ""))));
}

const isNew = ({ __compat: own }) => own && Object.keys(FLOOR).some((one) => since(own.support[one] ?? {}) > FLOOR[one]);
const MARKED = /_static$/;

function* names() {
  for (const [name, members] of Object.entries({ ...tables.javascript.builtins, ...tables.api })) {
    if (ELSEWHERE.test(name) || name.startsWith("__")) {
      continue;
    }
    if (isNew(members)) {
      yield name;
      continue;
    }
    for (const [member, table] of Object.entries(members)) {
      if (member !== "__compat" && /^[A-Za-z]\w*$/.test(member) && !member.endsWith("_event") && member !== name && isNew(table)) {
        yield `${name}${MARKED.test(member) ? ":" : "."}${member.replace(MARKED, "")}`;
      }
    }
  }
}

console.log([...new Set(names())].sort().join("\n"));
