/** `npm run docs`: writes a page for each rule into docs/rules. Run from the project's folder. */
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { rules } from "../review/rules/index.ts";
import { ruleIndexPage, rulePage } from "./rule-page.ts";

const folder = join("docs", "rules");
mkdirSync(folder, { recursive: true });
for (const rule of rules) writeFileSync(join(folder, `${rule.id}.md`), rulePage(rule));
writeFileSync(join(folder, "README.md"), ruleIndexPage(rules));
console.log(`${rules.length} rule pages written to ${folder}`);
