// Never a blank screen: a browser that is too old for the kitchen is told so in plain words, and a kitchen whose files did
// not all arrive is asked for again. This one file is written for old browsers: no modules, no arrows, no let.
var FLOOR = "Chrome 103, Firefox 100 or Safari 16";
var ELSEWHERE = "All else works here: the bake\u2019s own page and its printed sheet show every step, and the calendar rings.";
var EACH_S = 5;
var STOOD_S = 20 * 3600; // less than a day: a time with no day can be no other
var failed = false;

// Of what the kitchen uses the parts that came last: a browser that has these has the rest.
function isTooOld() {
  return !(
    "noModule" in document.createElement("script") &&
    typeof AbortSignal === "function" && AbortSignal.timeout &&
    typeof HTMLDialogElement === "function" && HTMLDialogElement.prototype.showModal &&
    typeof structuredClone === "function" && Object.hasOwn && Array.prototype.at && Element.prototype.replaceChildren &&
    window.Promise && Promise.allSettled && window.fetch && window.Intl && Intl.DateTimeFormat.prototype.formatToParts
  );
}

function say(title, words) {
  var screen = document.getElementById("screen");
  if (!screen) {
    return;
  }
  var box = document.createElement("section");
  box.className = "empty";
  var head = document.createElement("h1");
  head.appendChild(document.createTextNode(title));
  box.appendChild(head);
  for (var i = 0; i < words.length; i += 1) {
    var line = document.createElement("p");
    line.appendChild(document.createTextNode(words[i]));
    box.appendChild(line);
  }
  var link = document.createElement("a");
  link.className = "button";
  link.href = "/";
  link.appendChild(document.createTextNode("To the bakes"));
  var last = document.createElement("p");
  last.appendChild(link);
  box.appendChild(last);
  while (screen.firstChild) {
    screen.removeChild(screen.firstChild);
  }
  screen.appendChild(box);
}

function tooOld() {
  say("This browser is too old for the kitchen screen", [
    "It needs " + FLOOR + ", or a newer one of its kind.",
    ELSEWHERE
  ]);
}

// What stood here last (kitchen/stood.js), with the time when it did: until the phone's own database has answered.
function asItStood() {
  try {
    var kept = JSON.parse(localStorage.getItem("stood"));
    var wanted = location.hash.slice(1);
    var age_s = Date.now() / 1000 - kept.at;
    var same = kept.looks === document.querySelector("link[rel=stylesheet]").href && !location.search;
    if (same && (wanted ? wanted === kept.bake : kept.alone) && age_s >= 0 && age_s < STOOD_S) {
      document.getElementById("screen").innerHTML = kept.screen;
    }
  } catch (error) {
    // Nothing stood, or nothing is kept: the screen is drawn in a moment.
  }
}

function started() {
  return document.documentElement.getAttribute("data-kitchen") === "started";
}

// Loading the page again is the only way to ask again for a script that the page itself names. Not before the server
// answers: the browser's own page of errors would stand here instead.
function again() {
  fetch(location.pathname, { cache: "no-store" }).then(function (answer) {
    if (!answer.ok) {
      throw new Error("not now");
    }
    location.reload();
  }).catch(function () {
    setTimeout(again, EACH_S * 1000);
  });
}

function didNotLoad() {
  if (failed || started()) {
    return;
  }
  failed = true;
  say("A part of the kitchen screen did not load", [
    "It is asked for again every " + EACH_S + " seconds, and the screen opens by itself when it is here.",
    "Nothing is lost: what you said is in this phone."
  ]);
  setTimeout(again, EACH_S * 1000);
}

function stumbled() {
  if (failed || started()) {
    return;
  }
  failed = true;
  say("The kitchen screen could not start in this browser", [
    "Load the page again. If that does not help: it needs " + FLOOR + ", or a newer one of its kind.",
    ELSEWHERE
  ]);
}

if (isTooOld()) {
  document.documentElement.setAttribute("data-kitchen", "too old");
  document.addEventListener("DOMContentLoaded", tooOld);
} else {
  new MutationObserver(function (_, self) {
    if (document.getElementById("said")) {
      self.disconnect();
      asItStood();
    }
  }).observe(document, { childList: true, subtree: true });
  // A script that could not be fetched (that event does not bubble), or one that stumbled before the screen stood.
  window.addEventListener("error", function (event) {
    var script = event.target && event.target.tagName === "SCRIPT";
    if (script || event.target === window) {
      setTimeout(script ? didNotLoad : stumbled, 0);
    }
  }, true);
  window.addEventListener("unhandledrejection", function () {
    setTimeout(stumbled, 0);
  });
}
