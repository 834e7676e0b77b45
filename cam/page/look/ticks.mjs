// Boxes that stay ticked in this browser. Where it keeps nothing, they are boxes still.

const room = "traywright ";

export function keepTicks() {
  for (const box of document.querySelectorAll("input[data-tick]")) {
    box.checked = kept(box.dataset.tick);
    box.addEventListener("change", () => keep(box.dataset.tick, box.checked));
  }
}

function kept(key) {
  try {
    return localStorage.getItem(room + key) !== null;
  } catch {
    return false;
  }
}

function keep(key, ticked) {
  try {
    if (ticked) localStorage.setItem(room + key, "1");
    else localStorage.removeItem(room + key);
  } catch {
    // a browser that keeps nothing, or is full: the tick lasts as long as the page
  }
}
