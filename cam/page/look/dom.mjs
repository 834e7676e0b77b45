// Small things for building elements. Text is always text.

/** @param {string} id */
export const byId = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

/** @param {string} id */
export const readJSON = (id) => JSON.parse(byId(id).textContent ?? "");

// make is an HTML element with attributes and children.
/** @template {keyof HTMLElementTagNameMap} K @param {K} name @param {Record<string, any>} attributes @param {(Node | string)[]} children */
export function make(name, attributes = {}, ...children) {
  return filled(document.createElement(name), attributes, children);
}

// draw is an SVG element.
/** @template {keyof SVGElementTagNameMap} K @param {K} name @param {Record<string, any>} attributes @param {(Node | string)[]} children */
export function draw(name, attributes = {}, ...children) {
  return filled(document.createElementNS("http://www.w3.org/2000/svg", name), attributes, children);
}

/** @template {Element} E @param {E} element @param {Record<string, any>} attributes @param {(Node | string)[]} children */
function filled(element, attributes, children) {
  for (const [key, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined && value !== false) element.setAttribute(key, value === true ? "" : value);
  }
  element.append(...children);
  return element;
}

// clock is seconds as a person reads them off: 6:12, or 1:06:12.
/** @param {number} seconds */
export function clock(seconds) {
  const s = Math.floor(seconds + 1e-6);
  /** @param {number} n */
  const two = (n) => String(n).padStart(2, "0");
  const [h, m] = [Math.floor(s / 3600), Math.floor(s / 60) % 60];
  return h > 0 ? `${h}:${two(m)}:${two(s % 60)}` : `${m}:${two(s % 60)}`;
}

// whole is seconds without decimals, by way of the tenth that the report has of them: no page says another second.
/** @param {number} seconds */
export const whole = (seconds) => Math.round(Math.round(seconds * 10) / 10);

// facts fills a list of names and values.
/** @param {Element} list @param {Look.Fact[]} rows */
export function facts(list, rows) {
  list.replaceChildren(...rows.flatMap(([name, value]) => [make("dt", {}, name), make("dd", { dir: "auto" }, value)]));
}
