// Boxes that stay ticked in this browser. Where it keeps nothing, they are boxes still.

const room = "traywright ";

export function keepTicks() {
  for (const box of /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll("input[data-tick]"))) {
    const key = box.dataset.tick ?? "";
    box.checked = kept(key);
    box.addEventListener("change", () => keep(key, box.checked));
  }
}

/** @param {string} key */
function kept(key) {
  try {
    return localStorage.getItem(room + key) !== null;
  } catch {
    return false;
  }
}

/** @param {string} key @param {boolean} ticked */
function keep(key, ticked) {
  try {
    if (ticked) localStorage.setItem(room + key, "1");
    else localStorage.removeItem(room + key);
  } catch {
    // a browser that keeps nothing, or is full: the tick lasts as long as the page
  }
}
