// Whoever answers the page: the one place that knows how it is asked. Five questions, each
// answered by what JSON can say:
//
//   state(seen)   what there is to show, as soon as it is another than the one seen
//   room(at)      where the pocket whose entry stands there may go, and what of it can be set
//   place(what, tray)  where a pocket for a piece of the roster, or the one whose entry stands
//                      there, may go in a tray
//   edit(change)  writes a value into the job
//   undo()        takes the last such step back
//
// and two sentences: that nobody answers any more, and that somebody else does.

// asker is null for a page that nobody stands behind, such as look.html from a stick.
/** @returns {Look.Asker | null} */
export function asker() {
  if (!("live" in document.documentElement.dataset)) return null;
  /** @param {string} path @param {RequestInit} [options] @returns {Promise<any>} */
  const told = async (path, options) => {
    const answer = await fetch(path, { cache: "no-store", credentials: "same-origin", redirect: "error", ...options });
    return answer.ok ? answer.json() : {};
  };
  /** @param {string} path @param {object} body */
  const post = (path, body) => told(path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
  return {
    state: (seen) => told(`/state?seen=${seen}`),
    room: (at) => told(`/room?at=${encodeURIComponent(at)}`),
    place: (what, tray) => told(`/place?${new URLSearchParams({ ...what, tray })}`),
    edit: (change) => post("/edit", change),
    undo: () => post("/undo", {}),
    lost: "The program behind this page has ended. What you see is the last that it said.",
    another: "This page is of a run that has ended: open the address that the new one printed.",
  };
}
