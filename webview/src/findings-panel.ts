/** The findings as a list: the way to them by keyboard and screen reader, and the only one without a drawing. */
import type { Scene, SceneFinding } from "../../server/src/report/scene.ts";
import { button, element } from "./elements.ts";
import type { Session } from "./session.ts";
import { severityOrder, severityShape, severityWords, type Severity } from "./severity-shapes.ts";

/** Entries made at a time. */
const pageSize = 100;
/** Lines named in an entry. */
const mostLines = 60;

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
    const groups = groupsOf(scene.findings);
    const list = element("ol", { class: "cw-finding-list" });
    let shown = 0;
    const more = button("", () => showMore(), { class: "cw-more" });
    const showMore = () => {
      list.append(...groups.slice(shown, shown + pageSize).map((group) => this.entry(scene.findings, group)));
      shown = Math.min(shown + pageSize, groups.length);
      more.hidden = shown >= groups.length;
      more.textContent = `Show ${Math.min(pageSize, groups.length - shown)} more`;
    };
    showMore();
    this.node.replaceChildren(element("h2", {}, "Findings"), this.counts(scene.findings), list, more);
  }

  private counts(findings: readonly SceneFinding[]): HTMLElement {
    if (findings.length === 0) return element("p", { class: "cw-hint" }, "No findings.");
    const line = element("p", { class: "cw-counts" });
    for (const severity of ["error", "warning", "info"] as const) {
      const count = findings.filter((finding) => finding.severity === severity).length;
      if (count > 0)
        line.append(
          element("span", { class: "cw-count" }, severityShape(severity), countText(severity, count)),
        );
    }
    return line;
  }

  /** One finding is one button; several that say the same are told once, with a button for each line. */
  private entry(findings: readonly SceneFinding[], group: readonly number[]): HTMLElement {
    const { severity, message, rule, line } = findings[group[0]];
    const words = (where: string) =>
      element(
        "span",
        { class: "cw-finding-text" },
        element("span", { class: "cw-unseen" }, `${severityWords[severity]}: `),
        element("span", { class: "cw-finding-message" }, message),
        element("span", { class: "cw-finding-where" }, where),
      );
    if (group.length === 1) {
      const choose = element(
        "button",
        { type: "button", class: "cw-finding", "data-testid": "finding" },
        severityShape(severity),
        words(`line ${line} · ${rule}`),
      );
      this.listen(choose, group[0]);
      return element("li", {}, choose);
    }
    const lines = group.slice(0, mostLines).map((index) => {
      const number = String(findings[index].line);
      const choose = element(
        "button",
        {
          type: "button",
          class: "cw-finding-line",
          "aria-label": `line ${number}`,
          "data-testid": "finding",
        },
        number,
      );
      this.listen(choose, index);
      return choose;
    });
    const text = words(`${group.length} times · ${rule}`);
    text.append(element("span", { class: "cw-finding-lines" }, "line ", ...lines));
    if (group.length > mostLines) text.append(`and ${group.length - mostLines} more`);
    return element("li", { class: "cw-finding-group" }, severityShape(severity), text);
  }

  private listen(choose: HTMLButtonElement, index: number): void {
    choose.addEventListener("click", () => this.choose(index));
    this.buttons.set(index, choose);
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

/** Findings of one rule that say the same, as lists of their indices; the worse first, then by line. */
function groupsOf(findings: readonly SceneFinding[]): number[][] {
  const groups = new Map<string, number[]>();
  const order = findings
    .map((_, index) => index)
    .sort(
      (a, b) =>
        severityOrder[findings[a].severity] - severityOrder[findings[b].severity] ||
        findings[a].line - findings[b].line,
    );
  for (const index of order) {
    const { rule, severity, message } = findings[index];
    const key = [rule, severity, message].join("\n");
    const group = groups.get(key);
    if (group) group.push(index);
    else groups.set(key, [index]);
  }
  return [...groups.values()];
}

function countText(severity: Severity, count: number): string {
  const word = severityWords[severity].toLowerCase();
  return `${count} ${word}${count === 1 ? "" : "s"}`;
}
