/**
 * Reads an edge's configuration once: file (TOML), over it the environment (GIRTHLOG_EDGE_<TABLE>_<KEY>),
 * over it flags (--set table.key=value). Where the board was enrolled, what it got says how the broker is reached, over the
 * file and under the other two. Knows of every value where it came from.
 */
import { readFileSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { parse, TomlError } from 'smol-toml';
import { didYouMean } from '#core/program/did-you-mean';
import { EXIT, ProgramError } from '#core/program/program-error';
import { nodeAt } from '#core/program/schema-walk';
import type { ServiceEnvironment } from '#core/program/service-notifier';
import { short } from '#core/program/short';
import { applyEnrolment } from './apply-enrolment.ts';
import { type ConfigFile, configSchema } from './config-schema.ts';

const ENV_PREFIX = 'GIRTHLOG_EDGE_';
const MAX_FILE_BYTES = 1024 * 1024;

export interface ConfigEntry {
  /** Dotted, as in the file. */
  readonly key: string;
  readonly value: unknown;
  /** "file …", "environment …", "flag --set" or "default". */
  readonly origin: string;
}

export interface LoadedConfig {
  readonly config: ConfigFile;
  readonly entries: readonly ConfigEntry[];
  /** Folder that relative paths of the configuration start from. */
  readonly baseDir: string;
}

export interface ConfigInput {
  readonly file: string;
  /** Of the form table.key=value. */
  readonly set: readonly string[];
  readonly env?: Readonly<Record<string, string | undefined>>;
}

type Table = Record<string, unknown>;

/** Throws ProgramError (3) with one sentence that names file and key. */
export function loadConfig(input: ConfigInput): LoadedConfig {
  const file = resolve(input.file);
  const origins = new Map<string, string>();
  const tree = readToml(file);
  for (const { key } of leaves(tree)) origins.set(key, `file ${input.file}`);
  for (const [name, text] of Object.entries(input.env ?? process.env)) {
    if (text === undefined || !name.startsWith(ENV_PREFIX)) continue;
    const path = pathOfVariable(name);
    put(tree, path, textToValue(path, text, name));
    origins.set(path.join('.'), `environment ${name}`);
  }
  for (const assignment of input.set) {
    const at = assignment.indexOf('=');
    const path = assignment.slice(0, at).trim().split('.');
    if (at < 1 || path.length < 2) {
      throw new ProgramError(`--set ${assignment}: write table.key=value`, EXIT.usage);
    }
    checkKey(path);
    put(tree, path, textToValue(path, assignment.slice(at + 1).trim(), '--set'));
    origins.set(path.join('.'), 'flag --set');
  }
  applyEnrolment(tree, origins, dirname(file));
  const result = configSchema.safeParse(tree);
  if (!result.success)
    throw new ProgramError(`${input.file}: ${firstProblem(result.error)}`, EXIT.configuration);
  const entries = leaves(result.data as Table).map(({ key, value }) => ({
    key,
    value,
    origin: origins.get(key) ?? 'default',
  }));
  return { config: result.data, entries, baseDir: dirname(file) };
}

function readToml(file: string): Table {
  try {
    if (statSync(file).size > MAX_FILE_BYTES) {
      throw new ProgramError(`${file}: larger than a configuration can be`, EXIT.configuration);
    }
    return parse(readFileSync(file, 'utf8').replace(/^\uFEFF/, '')) as Table;
  } catch (error) {
    if (error instanceof ProgramError) throw error;
    if (error instanceof TomlError) {
      const what = error.message.split('\n')[0]?.replace(/^Invalid TOML document: /, '');
      throw new ProgramError(
        `${file}, line ${error.line}, column ${error.column}: ${what}`,
        EXIT.configuration,
      );
    }
    const { code, message } = error as NodeJS.ErrnoException;
    if (code === 'ENOENT')
      throw new ProgramError(`there is no configuration file ${file}`, EXIT.configuration);
    if (code === 'EACCES') throw new ProgramError(`this user may not read ${file}`, EXIT.configuration);
    throw new ProgramError(`${file} cannot be read: ${message}`, EXIT.configuration);
  }
}

/** GIRTHLOG_EDGE_RIG_POSITION_UNCERTAINTY_MM → rig.position_uncertainty_mm; keys of deeper tables likewise. */
function pathOfVariable(name: string): string[] {
  let rest = name.slice(ENV_PREFIX.length).toLowerCase();
  const path: string[] = [];
  for (;;) {
    const node = nodeAt(configSchema, path);
    const keys = node?.keys ?? [];
    if (keys.includes(rest)) return [...path, rest];
    const table = keys.find(
      key => rest.startsWith(`${key}_`) && (nodeAt(configSchema, [...path, key])?.keys.length ?? 0) > 0,
    );
    if (table === undefined) {
      const guess = didYouMean(rest, keys);
      const hint = guess ? `; did you mean ${ENV_PREFIX}${[...path, guess].join('_').toUpperCase()}?` : '';
      throw new ProgramError(
        `the environment sets ${name}, which no key is called by${hint}`,
        EXIT.configuration,
      );
    }
    path.push(table);
    rest = rest.slice(table.length + 1);
  }
}

/** Throws on a key that the schema does not know. */
function checkKey(path: readonly string[]): void {
  for (const [depth, key] of path.entries()) {
    const keys = nodeAt(configSchema, path.slice(0, depth))?.keys ?? [];
    if (keys.includes(key)) continue;
    const guess = didYouMean(key, keys);
    const hint = guess ? `; did you mean "${[...path.slice(0, depth), guess].join('.')}"?` : '';
    throw new ProgramError(`--set ${path.join('.')}: there is no key "${key}"${hint}`, EXIT.usage);
  }
}

function textToValue(path: readonly string[], text: string, where: string): unknown {
  const type = nodeAt(configSchema, path)?.type ?? 'mixed';
  const isNumber = text.trim() !== '' && Number.isFinite(Number(text));
  if (type === 'array') return text.split(',').map(part => part.trim());
  if (type === 'number') {
    if (!isNumber)
      throw new ProgramError(`${where}: ${path.join('.')} takes a number, not "${text}"`, EXIT.configuration);
    return Number(text);
  }
  if ((type === 'boolean' || type === 'mixed') && (text === 'true' || text === 'false'))
    return text === 'true';
  return type === 'mixed' && isNumber ? Number(text) : text;
}

function put(tree: Table, path: readonly string[], value: unknown): void {
  let here = tree;
  for (const key of path.slice(0, -1)) {
    const next = Object.hasOwn(here, key) ? here[key] : undefined;
    if (typeof next === 'object' && next !== null && !Array.isArray(next)) here = next as Table;
    else {
      const made: Table = Object.create(null) as Table;
      here[key] = made;
      here = made;
    }
  }
  here[path.at(-1)!] = value;
}

function leaves(tree: Table, prefix = ''): { key: string; value: unknown }[] {
  return Object.entries(tree).flatMap(([name, value]) => {
    const key = `${prefix}${name}`;
    const isTable =
      typeof value === 'object' && value !== null && !Array.isArray(value) && !(value instanceof Date);
    return isTable ? leaves(value as Table, `${key}.`) : [{ key, value }];
  });
}

interface Issue {
  readonly code: string;
  readonly path: readonly PropertyKey[];
  readonly message: string;
  readonly keys?: readonly string[];
  readonly errors?: readonly (readonly Issue[])[];
}

/** The first thing wrong, as a clause: where, what, and the nearest word for a mistyped key. */
function firstProblem(error: { readonly issues: readonly unknown[] }): string {
  const issues = error.issues as readonly Issue[];
  // A mistyped key usually explains the missing one beside it.
  const issue = issues.find(({ code }) => code === 'unrecognized_keys') ?? issues[0];
  return issue ? describe(issue, []) : 'not as it should be';
}

function describe(issue: Issue, base: readonly PropertyKey[]): string {
  const path = [...base, ...issue.path].map(String);
  const key = issue.keys?.[0];
  if (issue.code === 'unrecognized_keys' && key !== undefined) {
    const guess = didYouMean(key, nodeAt(configSchema, path)?.keys ?? []);
    const hint = guess ? `; did you mean "${guess}"?` : '';
    return `${path.length === 0 ? 'the file' : `[${path.join('.')}]`} has the unknown key "${short(key)}"${hint}`;
  }
  if (issue.code === 'invalid_union' && issue.errors?.length) {
    const closest = [...issue.errors].sort((a, b) => a.length - b.length)[0]?.[0];
    // A message of our own says it better than any branch of the union.
    if (closest && (closest.code === 'unrecognized_keys' || issue.message === 'Invalid input')) {
      return describe(closest, path);
    }
  }
  const missing = /received undefined/.test(issue.message);
  return `${path.join('.') || 'the file'} ${missing ? 'is missing' : `is not right: ${issue.message}`}`;
}

/** What a supervisor told this process; nothing without one. */
export function serviceEnvironment(): ServiceEnvironment {
  const { NOTIFY_SOCKET, WATCHDOG_USEC, WATCHDOG_PID } = process.env;
  return { notifySocket: NOTIFY_SOCKET, watchdogUsec: WATCHDOG_USEC, watchdogPid: WATCHDOG_PID };
}
