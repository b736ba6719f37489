// A readout for pointer and arrow keys on a tide chart, whoever drew it; the page’s own figures get theirs when this script is loaded.

export function readable(figure) {
  figure.querySelectorAll(".tide-view").forEach((view) => probe(view, figure.querySelector(".tide-readout")));
}

// A thread that follows the finger or the arrow keys, and what it reads off: as the figure is now, however often it was
// drawn anew under the finger.
function probe(view, said) {
  const svg = view.querySelector("svg");
  if (!svg) {
    return;
  }
  const line = document.createElementNS("http://www.w3.org/2000/svg", "line");
  line.setAttribute("class", "tide__probe");
  const points = () => JSON.parse(view.dataset.readout || "[]");
  let here = 0;
  const show = (i) => {
    const all = points();
    if (all.length === 0) {
      return;
    }
    here = Math.min(Math.max(i, 0), all.length - 1);
    const [share, words] = all[here];
    const { width } = svg.viewBox.baseVal;
    const at = { x1: share * width, x2: share * width, y1: 8, y2: svg.querySelector(".tide__base").getAttribute("y1") };
    Object.entries(at).forEach((one) => line.setAttribute(...one));
    svg.append(line);
    said.textContent = words;
  };
  const hide = () => {
    line.remove();
    said.textContent = "";
  };
  const nearest = (share) => points().reduce((best, point, i, all) => (away(point, share) < away(all[best], share) ? i : best), 0);
  const follow = (event) => {
    const box = svg.getBoundingClientRect();
    show(nearest((event.clientX - box.left) / box.width));
  };
  ["pointermove", "pointerdown"].forEach((name) => svg.addEventListener(name, follow));
  svg.addEventListener("pointerleave", hide);
  view.tabIndex = 0;
  view.setAttribute("role", "group");
  view.setAttribute("aria-label", view.dataset.keys);
  view.addEventListener("keydown", (event) => {
    const { length } = points();
    const by = { ArrowLeft: -1, ArrowRight: 1, Home: -length, End: length }[event.key];
    if (by) {
      event.preventDefault();
      const begin = event.key === "End" || event.key === "ArrowLeft" ? length - 1 : 0;
      show(line.isConnected ? here + by : begin);
    }
  });
  view.addEventListener("blur", hide);
}

const away = ([share], wanted) => Math.abs(share - wanted);

document.querySelectorAll("[data-tide]").forEach(readable);
