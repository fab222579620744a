/** Entry of the language server: over node IPC from the editor, or over standard input and output (`--stdio`). */
import { createConnection, ProposedFeatures, type Connection } from "vscode-languageserver/node";
import { serve } from "./server.ts";

function connect(): Connection | undefined {
  try {
    return createConnection(ProposedFeatures.all);
  } catch (error) {
    // The library's own sentence names its flags.
    process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`);
    process.stderr.write("Start the server with --stdio, or let the editor start it.\n");
    process.exitCode = 2;
    return undefined;
  }
}

const connection = connect();
if (connection) serve(connection);
