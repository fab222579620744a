/** The setup sheet: one page to take to the machine. Plain HTML that prints; no script. */
import { toolFor } from "../job/tool-for.ts";
import { lengthText } from "../review/length-text.ts";
import type { Review } from "../review/review.ts";
import { cutRows } from "./cut-rows.ts";
import {
  aboutText,
  allowanceRows,
  baseName,
  boardName,
  counted,
  sourceText,
  toolText,
} from "./facts-text.ts";
import { findingsHtml } from "./findings-html.ts";
import { escapeHtml, htmlPage } from "./html.ts";
import { measuringPlaces, planView } from "./plan-view.ts";
import { switchedOffText } from "./switched-off.ts";
import { readingText, writtenLines } from "./verdict.ts";

/** The sheet for programs that run one after the other, in run order; a board of its own gives a part of its own. */
export function setupSheet(reviews: readonly Review[]): string {
  if (reviews.length === 0) throw new Error("A setup sheet needs at least one program.");
  const first = reviews[0];
  const title = first.job.jobFile
    ? baseName(first.job.jobFile).replace(/\.job\.json$/, "")
    : baseName(first.file);
  const boards: Review[][] = [];
  for (const review of reviews) {
    const same = boards.at(-1);
    if (same && same[0].job.stock.name === review.job.stock.name) same.push(review);
    else boards.push([review]);
  }
  const body = `<h1>Setup sheet: ${escapeHtml(title)}</h1>
${boards.map(boardPart).join("\n")}
<section class="cautions">
<h2>Before the spindle starts</h2>
<ul>
<li>The machine's manual and your local rules come first; this sheet replaces neither.</li>
<li>Wear what they ask for (eyes, ears, dust). Nobody's hands or sleeves near the cutter until it stands still.</li>
<li>Check that the board cannot move and that hold-downs stand clear of every cut drawn here.</li>
<li>Know where the stop is. Stay with the machine while it cuts.</li>
<li>This review works from the program and from what is declared. It does not see the real board, bed or cutter.</li>
</ul>
</section>`;
  return htmlPage({ title: `Setup sheet: ${title}`, style: sheetCss, body });
}

function boardPart(reviews: readonly Review[]): string {
  const first = reviews[0];
  const { job } = first;
  const { units } = first.toolpath;
  const name = boardName(job);
  const programs = reviews
    .map(
      (review) =>
        `<li><b>${escapeHtml(baseName(review.file))}</b>, ${counted(writtenLines(review.program), "line")}, ${aboutText(review.summary.feedSeconds + review.summary.rapidSeconds)}. ${escapeHtml(readingText(review))}</li>`,
    )
    .join("");
  return `<section class="board-part">
<h2>${escapeHtml(name[0].toUpperCase() + name.slice(1))}</h2>
<div class="columns">
<div>
${planView(reviews)}
<p class="legend">Seen from above. Grey: what the cutter covers. Numbers: operations in order, at their first cut. Letters: where to measure.</p>
</div>
<div>
${stockPart(first)}
<h3>Programs in order</h3>
<ol class="programs">${programs}</ol>
${toolsPart(reviews)}
${allowancePart(first, units)}
</div>
</div>
${operationsPart(reviews)}
<h3>Open findings</h3>
${findingsPart(reviews)}
${switchedOffPart(reviews)}
${notJudgedPart(reviews)}
</section>`;
}

function stockPart(review: Review): string {
  const { job, toolpath } = review;
  const { stock } = job;
  const length = (mm: number) => escapeHtml(lengthText(mm, toolpath.units));
  const rows: [string, string][] = [];
  rows.push([
    "Thickness",
    stock.thickness
      ? `<b>${length(stock.thickness.value)}</b> <small>${escapeHtml(sourceText(stock.thickness.source))}</small>`
      : "<b>not declared</b>: measure it and declare it before you rely on this sheet",
  ]);
  rows.push([
    "Verify",
    `${measuringPlaces(review)
      .map(({ letter }) => `${letter} <span class="blank"></span>`)
      .join(
        " ",
      )} <br><small>A caliper reads only the edge; the middle can be thicker. If one reading is above the declared thickness, declare that one and review again.</small>`,
  ]);
  rows.push([
    "Size",
    stock.size ? `${length(stock.size.value[0])} x ${length(stock.size.value[1])}` : "not declared",
  ]);
  const [x, y] = stock.corner?.value ?? [0, 0];
  rows.push([
    "Zero",
    `X0 Y0 ${length(-x)} right of and ${length(-y)} above the lower-left corner${stock.corner ? "" : " (assumed)"}; <b>Z0 on ${stock.zero.value === "top" ? "the board's top" : "the bed"}</b>`,
  ]);
  if (stock.material) rows.push(["Material", escapeHtml(stock.material.value)]);
  if (stock.tape && stock.tape.value > 0)
    rows.push(["Tape", `${length(stock.tape.value)} thick, between board and bed`]);
  if (job.bedThickness) {
    rows.push([
      "Bed",
      `${length(job.bedThickness.value)} thick, cuts into it at most ${length(job.deepestBedCut.value)} deep`,
    ]);
  }
  if (review.summary.deepestInBed !== undefined) {
    rows.push(["Deepest in bed", length(review.summary.deepestInBed)]);
  }
  for (const hold of job.holdDowns) {
    rows.push([
      hold.kind[0].toUpperCase() + hold.kind.slice(1),
      `X${length(hold.at[0])} Y${length(hold.at[1])}, keep out ${length(hold.keepOut)}, ${length(hold.height)} high`,
    ]);
  }
  return `<h3>Stock and zero</h3>
<table>${rows.map(([head, value]) => `<tr><th scope="row">${escapeHtml(head)}</th><td>${value}</td></tr>`).join("")}</table>`;
}

function toolsPart(reviews: readonly Review[]): string {
  const rows: string[] = [];
  let last = "";
  for (const review of reviews) {
    const { tree, toolpath, job } = review;
    for (const operation of tree.operations) {
      const { tool, assumed } = toolFor(job, operation.tool);
      const motion = tree.passes[tree.cuts[operation.cuts[0]]?.passes[0]]?.bottomMotion;
      const speed = motion === undefined ? 0 : toolpath.motions.spindle[motion];
      const spindle =
        speed === 0
          ? "spindle off"
          : `${Math.round(Math.abs(speed))} /min${speed < 0 ? " counter-clockwise" : ""}`;
      const row = `<tr><td><span class="box" aria-hidden="true"></span></td><th scope="row">T${operation.tool}</th><td>${escapeHtml(toolText(tool, toolpath.units))}${assumed ? " <b>(assumed: not declared)</b>" : ""}</td><td>${spindle}</td></tr>`;
      // A tool that stays in the spindle is one row.
      if (row !== last) rows.push(row);
      last = row;
    }
  }
  return `<h3>Tools in order</h3>
<table>${rows.join("") || "<tr><td>No cuts.</td></tr>"}</table>`;
}

function allowancePart(review: Review, units: "mm" | "in"): string {
  const { allowance } = review.job;
  const rows = allowanceRows(review.job, units).map(
    (row) =>
      `<tr><th scope="row">${escapeHtml(row.name)}</th><td class="number">${row.value}</td><td><small>${escapeHtml(row.source)}</small></td></tr>`,
  );
  const sum = (name: string, value: number) =>
    `<tr class="${name === allowance.judgedBy ? "judges" : ""}"><th scope="row">${name}${name === allowance.judgedBy ? " (judges)" : ""}</th><td class="number">${lengthText(value, units)}</td><td></td></tr>`;
  return `<h3>Through allowance</h3>
<table>${rows.join("")}${sum("worst case", allowance.worstCase)}${sum("root-sum-square", allowance.rootSumSquare)}</table>`;
}

function operationsPart(reviews: readonly Review[]): string {
  let number = 0;
  const rows: string[] = [];
  for (const review of reviews) {
    const table = cutRows(review);
    for (const operation of review.tree.operations) {
      number++;
      for (const row of table.filter((r) => r.operationIndex === operation.index)) {
        rows.push(
          `<tr class="${row.state.replace(" ", "-")}"><td class="number">${number}</td><td>${escapeHtml(row.operation)}</td><td>${row.tool}</td><td>${row.what}</td><td class="number">${row.lowest}</td><td>${row.meant}</td><td>${escapeHtml(row.result)}</td></tr>`,
        );
      }
    }
  }
  if (rows.length === 0) return "";
  return `<h3>Cuts in order</h3>
<table class="cuts"><thead><tr><th>no.</th><th>operation</th><th>tool</th><th>what</th><th>lowest</th><th>meant to go</th><th>result</th></tr></thead><tbody>${rows.join("")}</tbody></table>`;
}

function findingsPart(reviews: readonly Review[]): string {
  const named = reviews.length > 1;
  return reviews
    .map(
      (review) =>
        `${named ? `<h4>${escapeHtml(baseName(review.file))}</h4>` : ""}${findingsHtml(review.findings, true)}`,
    )
    .join("\n");
}

function switchedOffPart(reviews: readonly Review[]): string {
  const sentences = new Set(reviews.map((review) => switchedOffText(review.job) ?? ""));
  return [...sentences].map((sentence) => (sentence ? `<p>${escapeHtml(sentence)}</p>` : "")).join("");
}

function notJudgedPart(reviews: readonly Review[]): string {
  const notes = [...new Set(reviews.flatMap((review) => review.summary.notJudged))];
  if (notes.length === 0) return "";
  return `<h3>Not judged</h3>
<ul>${notes.map((note) => `<li>${escapeHtml(note)}</li>`).join("")}</ul>`;
}

const sheetCss = `@page { margin: 11mm; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1rem; max-width: 60rem; font: 12px/1.35 system-ui, sans-serif; color: #111; background: #fff; }
h1 { font-size: 1.5em; margin: 0 0 0.3em; overflow-wrap: anywhere; }
h2 { font-size: 1.2em; margin: 0.6em 0 0.3em; border-bottom: 1px solid #111; }
h3 { font-size: 1.02em; margin: 0.7em 0 0.2em; }
h4 { font-size: 1em; margin: 0.5em 0 0.1em; }
ul, ol { margin: 0; padding-left: 1.3em; }
li { margin: 0.15em 0; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; vertical-align: top; padding: 0.12em 0.5em 0.12em 0; border-bottom: 1px solid #ccc; overflow-wrap: anywhere; }
th { font-weight: 600; overflow-wrap: normal; }
th[scope="row"] { white-space: nowrap; }
.number { text-align: right; white-space: nowrap; padding-right: 0.8em; }
small { color: #444; font-size: 0.9em; }
code { color: #444; font-size: 0.9em; }
.columns { display: grid; grid-template-columns: minmax(0, 11fr) minmax(0, 10fr); gap: 1.2em; }
.plan { width: 100%; height: auto; max-height: 11.5cm; }
.legend { margin: 0.2em 0 0; color: #444; font-size: 0.9em; }
.board { fill: #fbf8f1; stroke: #111; }
.kerf { fill: none; stroke: #bbb; stroke-linecap: round; stroke-linejoin: round; }
.line { fill: none; stroke: #333; }
.keep-out { fill: none; stroke: #111; }
.hold { fill: none; stroke: #111; }
.measure { fill: #fff; stroke: #111; }
.badge { fill: #111; stroke: #fff; }
.badge-text { fill: #fff; font-weight: 700; }
.zero { fill: none; stroke: #111; }
.zero-dot { fill: #111; }
.zero-text, .measure-text, .note { fill: #111; font-weight: 600; }
.blank { display: inline-block; width: 3.6em; border-bottom: 1px solid #111; }
.box { display: inline-block; flex: none; width: 0.95em; height: 0.95em; border: 1.3px solid #111; margin: 0.12em 0.5em 0 0; }
.findings { list-style: none; padding: 0; }
.findings li { display: flex; }
.judges { font-weight: 700; }
tr.short td, tr.marginal td { font-weight: 700; }
.cautions { break-inside: avoid; }
table, h3 { break-inside: avoid; }
h2, h3, h4 { break-after: avoid; }
@media print { body { padding: 0; max-width: none; font-size: 9.5px; } }
@media (max-width: 44rem) { .columns { grid-template-columns: 1fr; } }`;
