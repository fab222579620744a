import { jobSchema } from "./schema.ts";

/**
 * The job file's JSON Schema (draft-07) as text, for the editor's completion, hover and checks. `allowComments`
 * and `allowTrailingCommas` tell the editor's JSON service that job files may hold both.
 */
export function jobSchemaText(): string {
  const schema = {
    $schema: "http://json-schema.org/draft-07/schema#",
    ...jobSchema,
    allowComments: true,
    allowTrailingCommas: true,
  };
  return `${JSON.stringify(schema, null, 2)}\n`;
}
