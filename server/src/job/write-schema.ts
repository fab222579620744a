import { jobSchema } from "./schema.ts";

/** The job file's JSON Schema (draft-07) as text, for the editor's completion, hover and checks. */
export function jobSchemaText(): string {
  const { $id: _, ...schema } = JSON.parse(
    JSON.stringify(jobSchema, (key, value: unknown) =>
      key === "kind" && typeof value === "string" ? undefined : value,
    ),
  ) as Record<string, unknown>;
  return `${JSON.stringify({ $schema: "http://json-schema.org/draft-07/schema#", ...schema, allowComments: true, allowTrailingCommas: true }, null, 2)}\n`;
}
