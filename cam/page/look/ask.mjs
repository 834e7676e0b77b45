// Whoever answers the page: the one place that knows how it is asked. state(seen) is what
// there is to show, as soon as it is another than the one seen.

// asker is null for a page that nobody stands behind, such as look.html from a stick.
export function asker() {
  if (!("live" in document.documentElement.dataset)) return null;
  const told = async (path) => {
    const answer = await fetch(path, { cache: "no-store", credentials: "same-origin", redirect: "error" });
    return answer.ok ? answer.json() : {};
  };
  return { state: (seen) => told(`/state?seen=${seen}`) };
}
