// What a person's eye and thumb would notice, measured in the page. Evaluated by eyes.py as one expression: an object
// with a function for each kind of thing that can be wrong, each answering with a list of what is.
(() => {
  const HIDDEN = ".visually-hidden, .skip, [hidden], .sprite, title, desc, script, style, noscript, option";

  function shown(node) {
    if (!node.checkVisibility({ visibilityProperty: true, opacityProperty: true }) || node.closest(HIDDEN)) {
      return false;
    }
    const box = node.getBoundingClientRect();
    return box.width > 1 && box.height > 1;
  }

  function name(node) {
    return `${node.tagName.toLowerCase()}.${node.getAttribute("class") ?? ""} “${node.textContent.trim().slice(0, 40)}”`;
  }

  function texts() {
    const out = new Set();
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) {
      const { nodeValue, parentElement } = walk.currentNode;
      if (nodeValue.trim() && shown(parentElement)) {
        out.add(parentElement);
      }
    }
    return [...out];
  }

  // A unit of an SVG is as big as the picture is drawn.
  function scale(node) {
    const svg = node.closest("svg");
    const wide = svg?.viewBox.baseVal.width;
    return wide ? svg.getBoundingClientRect().width / wide : 1;
  }

  function tooSmall(least) {
    return texts()
      .map((node) => [parseFloat(getComputedStyle(node).fontSize) * scale(node), name(node)])
      .filter(([size]) => size < least - 0.05)
      .map(([size, what]) => `${size.toFixed(1)} px: ${what}`);
  }

  // A link inside a sentence may be as high as its line (WCAG 2.2, criterion 2.5.8, the inline exception).
  function inline(node) {
    const sentence = ["P", "DD", "SPAN", "TD", "TH", "H2", "LI"].includes(node.parentElement.tagName);
    return node.tagName === "A" && sentence && getComputedStyle(node).display === "inline";
  }

  function target(node) {
    const ticked = ["radio", "checkbox"].includes(node.type);
    const label = ticked ? node.closest("label") ?? document.querySelector(`label[for="${node.id}"]`) : null;
    const boxes = [node, label].filter(Boolean).map((one) => one.getBoundingClientRect());
    return [Math.max(...boxes.map((box) => box.width)), Math.max(...boxes.map((box) => box.height))];
  }

  function tooThin() {
    const all = document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary");
    return [...all]
      .filter((node) => shown(node) && !inline(node))
      .map((node) => [...target(node), name(node)])
      .filter(([width, height]) => width < 47.95 || height < 47.95)
      .map(([width, height, what]) => `${width.toFixed(0)} x ${height.toFixed(0)}: ${what}`);
  }

  function parts(colour) {
    const numbers = colour.match(/[\d.]+/g).map(Number);
    return numbers.length > 3 ? numbers : [...numbers, 1];
  }

  function over([r, g, b, a], [r2, g2, b2]) {
    return [r * a + r2 * (1 - a), g * a + g2 * (1 - a), b * a + b2 * (1 - a), 1];
  }

  // The colour under an element: see-through layers laid over each other down to the first that is not.
  function ground(node) {
    const layers = [];
    for (let one = node; one; one = one.parentElement) {
      layers.push(parts(getComputedStyle(one).backgroundColor));
      if (layers[layers.length - 1][3] === 1) {
        break;
      }
    }
    return layers.reduceRight((under, layer) => over(layer, under), [255, 255, 255, 1]);
  }

  // Relative luminance, WCAG 2.2.
  function luminance(colour) {
    const [r, g, b] = colour.slice(0, 3).map((value) => {
      const share = value / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  }

  // Words in pictures lie on drawn shapes: those are checked from the colours themselves (tests/web/test_look.py).
  function tooFaint() {
    return texts()
      .filter((node) => !node.closest("svg") && !node.disabled)
      .map((node) => {
        const style = getComputedStyle(node);
        const under = ground(node);
        const both = [luminance(over(parts(style.color), under)), luminance(under)];
        const ratio = (Math.max(...both) + 0.05) / (Math.min(...both) + 0.05);
        const size = parseFloat(style.fontSize);
        const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
        return [ratio, large ? 3 : 4.5, name(node)];
      })
      .filter(([ratio, least]) => ratio < least)
      .map(([ratio, , what]) => `${ratio.toFixed(2)}: ${what}`);
  }

  function sideways() {
    const root = document.documentElement;
    if (root.scrollWidth <= root.clientWidth) {
      return [];
    }
    const out = [...document.body.querySelectorAll("*")].filter((node) => {
      const box = node.getBoundingClientRect();
      return box.width > 0 && box.right > root.clientWidth + 1 && !node.closest(`svg, ${HIDDEN}`);
    });
    return [`${root.scrollWidth} > ${root.clientWidth}`, ...out.slice(0, 5).map((node) => node.outerHTML.slice(0, 90))];
  }

  return { tooSmall, tooThin, tooFaint, sideways };
})()
