// What package.json promises the editor against what the code does.
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { readSettings } from "../../server/src/job/settings.ts";
import { rules } from "../../server/src/review/rules/index.ts";

const root = fileURLToPath(new URL("../../", import.meta.url));
const manifest = JSON.parse(readFileSync(join(root, "package.json"), "utf8")) as {
  contributes: {
    commands: { command: string; title: string; category: string }[];
    menus: Record<string, { command: string }[]>;
    languages: { configuration: string; extensions: string[] }[];
    grammars: { path: string; scopeName: string }[];
    configuration: { properties: Record<string, { properties?: Record<string, Record<string, unknown>> }> };
  };
};
const { contributes } = manifest;

describe("the manifest", () => {
  test("names the commands that the client registers, and no others in its menus", () => {
    const source = readFileSync(join(root, "client/src/extension.ts"), "utf8");
    const registered = [...source.matchAll(/command\("(cutwright\.\w+)"/g)].map(([, name]) => name);
    expect(registered.length).toBeGreaterThan(3);
    const named = contributes.commands.map(({ command }) => command);
    expect([...named].sort()).toEqual([...registered].sort());
    for (const { category } of contributes.commands) expect(category).toBe("Cutwright");
    for (const entry of Object.values(contributes.menus).flat()) expect(named).toContain(entry.command);
  });

  test("names files that are there", () => {
    for (const { configuration } of contributes.languages)
      expect(existsSync(join(root, configuration))).toBe(true);
    for (const { path, scopeName } of contributes.grammars) {
      expect(JSON.parse(readFileSync(join(root, path), "utf8"))).toMatchObject({ scopeName });
    }
  });

  test("describes only machine settings that are read, each with a default or an example that is accepted", () => {
    const machine = contributes.configuration.properties["cutwright.machine"].properties!;
    const sample = (schema: Record<string, unknown>): unknown => {
      if (Array.isArray(schema.enum)) return (schema.enum as unknown[])[0];
      if (schema.type === "array") return [100, 100, 100];
      if (schema.type === "number") return 1;
      return { G55: [200, 0, 0] };
    };
    const values = Object.fromEntries(
      Object.entries(machine).map(([name, schema]) => [name, sample(schema)]),
    );
    expect(Object.keys(values).length).toBeGreaterThan(10);
    const problems: string[] = [];
    readSettings({ machine: values }, (message) => problems.push(message));
    expect(problems).toEqual([]);
  });

  test("has a page for every rule that a finding links to, and no page without a rule", () => {
    const pages = readdirSync(join(root, "docs/rules")).filter((name) => name !== "README.md");
    expect(pages.sort()).toEqual(rules.map(({ id }) => `${id}.md`).sort());
  });
});
