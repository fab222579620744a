/** The findings as a list: the way to them by keyboard and screen reader, and the only one without a drawing. */
import type { Scene, SceneFinding } from "../../server/src/report/scene.ts";
import { button, element } from "./elements.ts";
import type { Session } from "./session.ts";
import { severityOrder, severityShape, severityWords, type Severity } from "./severity-shapes.ts";

/** Entries made at a time. */
const pageSize = 100;

export class FindingsPanel {
  readonly node = element("section", { class: "cw-findings cw-panel", "aria-label": "Findings" });
  private readonly buttons = new Map<number, HTMLButtonElement>();

  constructor(
    private readonly session: Session,
    private readonly choose: (index: number) => void,
  ) {
    session.onChange((change) => {
      if (change === "finding") this.follow();
    });
  }

  load(scene: Scene): void {
    this.buttons.clear();
    const order = scene.findings
      .map((finding, index) => ({ finding, index }))
      .sort(
        (a, b) =>
          severityOrder[a.finding.severity] - severityOrder[b.finding.severity] ||
          a.finding.line - b.finding.line,
      );
    const list = element("ol", { class: "cw-finding-list" });
    const parts: Node[] = [element("h2", {}, "Findings"), this.counts(scene.findings)];
    if (order.length > 0) parts.push(list);
    let shown = 0;
    const more = button("", () => showMore(), { class: "cw-more" });
    const showMore = () => {
      for (const { finding, index } of order.slice(shown, shown + pageSize)) list.append(this.entry(finding, index));
      shown = Math.min(shown + pageSize, order.length);
      more.hidden = shown >= order.length;
      more.textContent = `Show ${Math.min(pageSize, order.length - shown)} more of ${order.length}`;
    };
    showMore();
    parts.push(more);
    this.node.replaceChildren(...parts);
  }

  private counts(findings: readonly SceneFinding[]): HTMLElement {
    if (findings.length === 0) return element("p", { class: "cw-hint" }, "No findings.");
    const line = element("p", { class: "cw-counts" });
    for (const severity of ["error", "warning", "info"] as const) {
      const count = findings.filter((finding) => finding.severity === severity).length;
      if (count > 0)
        line.append(element("span", { class: "cw-count" }, severityShape(severity), countText(severity, count)));
    }
    return line;
  }

  private entry(finding: SceneFinding, index: number): HTMLElement {
    const choose = element(
      "button",
      { type: "button", class: "cw-finding", "data-testid": "finding" },
      severityShape(finding.severity),
      element(
        "span",
        { class: "cw-finding-text" },
        element("span", { class: "cw-unseen" }, `${severityWords[finding.severity]}: `),
        element("span", { class: "cw-finding-message" }, finding.message),
        element("span", { class: "cw-finding-where" }, `line ${finding.line} · ${finding.rule}`),
      ),
    );
    choose.addEventListener("click", () => this.choose(index));
    this.buttons.set(index, choose);
    return element("li", {}, choose);
  }

  private follow(): void {
    for (const [index, entry] of this.buttons) {
      const chosen = index === this.session.finding;
      if (chosen) entry.setAttribute("aria-current", "true");
      else entry.removeAttribute("aria-current");
      if (chosen) entry.scrollIntoView({ block: "nearest" });
    }
  }
}

function countText(severity: Severity, count: number): string {
  const word = severityWords[severity].toLowerCase();
  return `${count} ${word}${count === 1 ? "" : "s"}`;
}
