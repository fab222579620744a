/** Operations: consecutive cuts with one tool under one heading. */
import type { Operation } from "./cuts.ts";
import type { Heading } from "./headings.ts";

/** A cut as far as operations need to know it. */
export interface HeadedCut {
  readonly tool: number;
  /** Number of tool changes ahead of it. */
  readonly run: number;
  /** Heading in force at its first pass. */
  readonly heading: Heading | undefined;
  /** Zero-based lines of its first and last motion. */
  readonly firstLine: number;
  readonly lastLine: number;
}

/** Headings that differ only in case and spacing are one. */
export function headingKey(name: string): string {
  return name.trim().replace(/\s+/g, " ").toLowerCase();
}

/** Parts cuts, in program order, into operations. An operation's lines begin at its heading. */
export function makeOperations(cuts: readonly HeadedCut[]): Operation[] {
  const operations: { -readonly [K in keyof Operation]: Operation[K] }[] = [];
  let members: number[] = [];
  let run = -1;
  let key = "";
  cuts.forEach((cut, index) => {
    const { heading } = cut;
    const ownKey = heading ? headingKey(heading.name) : "";
    if (operations.length === 0 || cut.run !== run || ownKey !== key) {
      members = [];
      run = cut.run;
      key = ownKey;
      operations.push({
        index: operations.length,
        name: heading ? heading.name : cut.tool > 0 ? `Cuts with tool ${cut.tool}` : "Cuts",
        named: heading !== undefined,
        tool: cut.tool,
        cuts: members,
        firstLine: heading ? Math.min(heading.line, cut.firstLine) : cut.firstLine,
        lastLine: cut.lastLine,
      });
    }
    members.push(index);
    const operation = operations[operations.length - 1];
    operation.lastLine = Math.max(operation.lastLine, cut.lastLine);
  });
  return operations;
}
