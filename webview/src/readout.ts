/** The motion in focus in words. Spoken by a screen reader when it comes to rest, not while it plays. */
import { button, element } from "./elements.ts";
import { motionText } from "./motion-text.ts";
import type { Session } from "./session.ts";

export class Readout {
  readonly node: HTMLElement;
  private readonly line = element("span", { class: "cw-line" });
  private readonly code = element("code", { class: "cw-code" });
  private readonly kind = element("b", { class: "cw-kind" });
  private readonly facts = element("span", { class: "cw-facts" });
  private readonly reveal: HTMLButtonElement;

  /** @param toLine shows the motion's line in the editor; undefined on the stand-alone page */
  constructor(
    private readonly session: Session,
    toLine: ((motion: number) => void) | undefined,
  ) {
    this.reveal = button("Show line", () => toLine?.(session.current), {
      class: "cw-show-line",
      title: "Show this line in the editor",
    });
    const words = element(
      "div",
      { class: "cw-readout-words", "data-testid": "readout", "aria-live": "polite", "aria-atomic": "true" },
      element("div", { class: "cw-readout-line" }, this.line, " ", this.code),
      element("div", { class: "cw-readout-facts" }, this.kind, " ", this.facts),
    );
    this.node = element("section", { class: "cw-readout", "aria-label": "Current motion" }, words);
    if (toLine) this.node.append(this.reveal);
    session.onChange((change) => {
      if (change === "playing") words.setAttribute("aria-live", session.playing ? "off" : "polite");
      if (change === "place" || change === "scene") this.write();
    });
  }

  private write(): void {
    const { scene, current } = this.session;
    this.reveal.disabled = !scene || current < 0;
    if (!scene || current < 0) {
      this.line.textContent = scene?.motions.count ? "Before the first motion" : "No motions";
      this.code.textContent = "";
      this.kind.textContent = "";
      this.facts.textContent = scene?.motions.count ? "Nothing is cut yet." : "";
      return;
    }
    const text = motionText(scene, current);
    this.line.textContent = text.line;
    this.code.textContent = text.code;
    this.code.title = text.code;
    this.kind.textContent = text.kind;
    this.facts.replaceChildren(
      ...text.facts.map((fact) => element("span", { class: "cw-fact" }, `${fact} `)),
    );
  }
}
