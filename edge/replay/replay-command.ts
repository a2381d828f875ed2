import { readFile } from 'node:fs/promises';
import type { Command } from 'commander';
import type { z } from 'zod';
import { schemaProblem } from '#core/messages/schema-problem';
import { workOf } from '#core/pass/work';
import type { Procedure } from '#core/procedure/procedure';
import { procedureSchema } from '#core/procedure/procedure';
import { whyNotRead } from '#core/program/why-not-read';
import { type ColumnMap, columnMapSchema } from './column-map.ts';
import { readRecording } from './recording-reader.ts';
import { replayRecording, settingsOf } from './replay.ts';
import { ReplayError } from './replay-error.ts';
import { replayTable } from './replay-table.ts';

interface ReplayOptions {
  readonly columns: string;
  readonly procedure?: string;
  readonly pass?: string;
  readonly json?: true;
}

const EXAMPLES = `
Examples:
  girthlog-edge replay joint.csv --columns map.json
  girthlog-edge replay joint.csv --columns map.json --procedure wps.json --pass "fill 1" --json > joint.json

Exit codes: 0 done, 3 file, map or procedure cannot be used, 4 no usable row.`;

/** `replay FILE --columns MAP.json`: analyses a recording that any logger wrote. */
export function addReplayCommand(program: Command): void {
  program
    .command('replay')
    .description('run the engine over a delimited text recording')
    .argument('<file>', 'the recording')
    .requiredOption('--columns <map.json>', 'which column is what (docs/replay.md)')
    .option('--procedure <file.json>', 'judge against this procedure')
    .option('--pass <name>', 'the pass of the procedure, where it has several')
    .option('--json', 'print one JSON document instead of a table')
    .addHelpText('after', EXAMPLES)
    .action(async (file: string, options: ReplayOptions) => {
      try {
        const text = await replay(file, options);
        process.stdout.write(`${text}\n`);
      } catch (error) {
        if (!(error instanceof ReplayError)) throw error;
        process.stderr.write(`${error.message}\n`);
        process.exitCode = error.exitCode;
      }
    });
}

async function replay(file: string, options: ReplayOptions): Promise<string> {
  const map = await readJson(options.columns, 'map', columnMapSchema);
  const procedure = options.procedure
    ? await readJson(options.procedure, 'procedure', procedureSchema)
    : null;
  const passName = choosePass(procedure, map, options);
  const recording = await readRecording(file, map);
  const settings = settingsOf(map);
  const { assignment } = map;
  const document = replayRecording({ file, recording, procedure, passName, settings, assignment });
  return options.json ? JSON.stringify(document, null, 1) : replayTable(document);
}

function choosePass(procedure: Procedure | null, map: ColumnMap, options: ReplayOptions): string | null {
  const { pass } = options;
  const welded = map.assignment?.pass;
  if (pass !== undefined && welded !== undefined && pass !== welded) {
    throw new ReplayError(`--pass "${pass}" is not the pass "${welded}" of the map's assignment`);
  }
  if (!procedure) {
    if (pass !== undefined) throw new ReplayError(`--pass "${pass}" needs a --procedure`);
    return null;
  }
  const names = procedure.passes.map(candidate => candidate.name);
  if (pass !== undefined && !names.includes(pass)) {
    throw new ReplayError(
      `${options.procedure}: there is no pass "${pass}": it has ${names.map(name => `"${name}"`).join(', ')}`,
    );
  }
  if (welded !== undefined && !names.includes(welded)) {
    throw new ReplayError(
      `${options.columns}: assignment.pass: there is no pass "${welded}" in ${options.procedure}: it has ${names.map(name => `"${name}"`).join(', ')}`,
    );
  }
  const chosen = pass ?? welded ?? (names.length === 1 ? names[0]! : null);
  try {
    workOf({ procedure, passName: chosen }, null);
  } catch (error) {
    if (error instanceof RangeError) throw new ReplayError(`${options.procedure}: ${error.message}`);
    throw error;
  }
  return chosen;
}

async function readJson<T>(file: string, what: string, schema: z.ZodType<T>): Promise<T> {
  let text: string;
  try {
    text = await readFile(file, 'utf8');
  } catch (error) {
    throw new ReplayError(`${file}: the ${what} cannot be read: ${whyNotRead(error as Error)}`);
  }
  let value: unknown;
  try {
    value = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    throw new ReplayError(`${file}: the ${what} is not JSON: ${oneLine((error as Error).message)}`);
  }
  const parsed = schema.safeParse(value);
  if (parsed.success) return parsed.data;
  throw new ReplayError(`${file}: ${schemaProblem(parsed.error)}`);
}

function oneLine(text: string): string {
  return text.replace(/\s+/g, ' ').trim();
}
