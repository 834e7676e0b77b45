// The page while its job is edited: it is fed with each state that the job comes to. One that
// is refused dims the last good one, and says what is wrong, and where.

import { byId, make } from "./dom.mjs";

// parts of the page that another state brings along; all else is made from its data.
const brought = [".first", ".verdict", ".pages"];
const data = ["report", "programs", "scene"];

/** @import { Hands } from "./hands.mjs" */
/** @import { Loose } from "./loose.mjs" */
/** @import { Stage } from "./stage.mjs" */

export class Live {
  // again(renew) lets renew change the page, and shows it at the place where it was;
  // hands.free() waits until nothing is held.
  /** @param {Look.Asker} ask @param {(renew: () => void) => void} again @param {Stage} stage @param {Hands} hands @param {Loose} loose */
  constructor(ask, again, stage, hands, loose) {
    this.ask = ask;
    this.again = again;
    this.stage = stage;
    this.hands = hands;
    this.loose = loose;
    this.seen = 0;
  }

  // follow asks for state after state, until nobody answers.
  async follow() {
    for (;;) {
      let state = null;
      try {
        state = await this.ask.state(this.seen);
      } catch {
        return this.tell(this.ask.lost);
      }
      if (!state.version) return this.tell(this.ask.another);
      await this.hands.free();
      if (state.version !== this.seen) this.take(state);
    }
  }

  /** @param {Look.State} state */
  take(state) {
    this.seen = state.version;
    this.hands.steps = state.steps;
    const { page } = state;
    if (page) this.again(() => this.bring(new DOMParser().parseFromString(page, "text/html")));
    document.documentElement.dataset.refused = String(state.refused);
    byId("refused").hidden = !state.refused;
    if (state.refused) {
      byId("refused-head").textContent = state.shown ? "The job is refused. Dimmed: its last good state." : "The job is refused.";
      byId("wrong").replaceChildren(...state.findings.filter((f) => f.severity === "error").map(worded));
    }
    if (!state.refused) this.loose.show(state.loose, state.job);
    this.stage.showWrong(state.wrong);
    document.documentElement.dataset.version = String(state.version);
  }

  // bring takes the parts of another page in. They are elements that the program wrote, with
  // every name in them as text; a script in them would not run.
  /** @param {Document} other */
  bring(other) {
    document.title = other.title;
    for (const part of brought) {
      const [old, fresh] = [document.querySelector(part), other.querySelector(part)];
      if (old && fresh) old.replaceWith(document.adoptNode(fresh));
      else if (fresh) document.querySelector(".whose")?.after(document.adoptNode(fresh));
      else old?.remove();
    }
    for (const id of data) byId(id).textContent = other.getElementById(id)?.textContent ?? "";
  }

  /** @param {string} text */
  tell(text) {
    byId("told").textContent = text;
  }
}

// worded is a finding as the page has it, opened.
/** @param {Look.Finding} f */
function worded(f) {
  const words = make("span", { dir: "auto" }, make("b", {}, f.severity ?? ""), ` ${f.where ? `${f.where}: ` : ""}${f.message}`);
  return make("details", { class: `finding ${f.severity}`, "data-part": "finding", open: true }, make("summary", {}, words), ...(f.hint ? [make("p", { dir: "auto" }, `What to do: ${f.hint}`)] : []));
}
