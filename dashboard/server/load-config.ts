import { short } from '#core/program/short';
/** Settings from flags, environment and one TOML file, in that order; the only place that reads process.env. */

import { readFileSync } from 'node:fs';
import { z } from 'zod';
import { rightSchema } from '#core/messages/api-account';
import { didYouMean } from '#core/program/did-you-mean';
import { EXIT, ProgramError } from '#core/program/program-error';
import { PROGRAM_NAME_ENV, PROGRAM_RIGHTS_ENV, PROGRAM_TOKEN_ENV } from '#core/program/program-token';
import type { ServiceEnvironment } from '#core/program/service-notifier';
import { TRAINER_KEY_ENV, TRAINING_TOKEN_ENV } from '#core/training/control';
import { refuseOpenReading } from './auth/open-reading.ts';
import { type ProgramAccount, TOKEN_LEAST } from './auth/program-accounts.ts';
import { refuseOpenNetwork } from './machines/network-rules.ts';
import { SETTING_NAMES, type SettingName, type Settings, settingsSchema } from './settings.ts';
import type { TrainingSetup } from './training/open-training.ts';

export interface LoadedConfig {
  readonly settings: Settings;
  /** Where each value came from: "flag --http", "environment …", a file's name, or "default". */
  readonly sources: Readonly<Record<SettingName, string>>;
}

const ENV_PREFIX = 'GIRTHLOG_DASHBOARD_';

/** `brokerMaxConnections` is --broker-max-connections, broker_max_connections, …_BROKER_MAX_CONNECTIONS. */
const withSeparator = (name: string, separator: string): string =>
  name.replace(/[A-Z]/g, letter => `${separator}${letter.toLowerCase()}`);
const fileKeyOf = (name: SettingName): string => withSeparator(name, '_');
const flagOf = (name: SettingName): string => `--${withSeparator(name, '-')}`;
const envOf = (name: SettingName): string => ENV_PREFIX + withSeparator(name, '_').toUpperCase();

/** This program's environment with these settings in it, for one that it starts. */
export function environmentWith(settings: Partial<Record<SettingName, string>>): NodeJS.ProcessEnv {
  const own = Object.entries(settings).map(([name, value]) => [envOf(name as SettingName), value]);
  return { ...process.env, ...Object.fromEntries(own) };
}

export async function loadConfig(
  flags: Readonly<Record<string, unknown>>,
  file: string | undefined,
): Promise<LoadedConfig> {
  const values: Record<string, unknown> = {};
  const sources = Object.fromEntries(SETTING_NAMES.map(name => [name, 'default'])) as Record<
    SettingName,
    string
  >;
  const fromFile = file === undefined ? {} : await readToml(file);
  for (const name of SETTING_NAMES) {
    const env = process.env[envOf(name)];
    const key = fileKeyOf(name);
    if (Object.hasOwn(fromFile, key)) {
      values[name] = fromFile[key];
      sources[name] = `${file} (${key})`;
    }
    if (env !== undefined && env !== '') {
      values[name] = fromText(name, env);
      sources[name] = `environment ${envOf(name)}`;
    }
    if (flags[name] !== undefined) {
      values[name] = flags[name];
      sources[name] = `flag ${flagOf(name)}`;
    }
  }
  const parsed = settingsSchema.safeParse(values);
  if (!parsed.success) {
    const issue = parsed.error.issues[0]!;
    const name = String(issue.path[0]) as SettingName;
    throw new ProgramError(`${sources[name]}: ${issue.message}.`, EXIT.configuration);
  }
  refuseOpenNetwork(parsed.data);
  refuseOpenReading(parsed.data);
  return { settings: parsed.data, sources };
}

/** The environment carries text; settings that are not text read it. */
function fromText(name: SettingName, text: string): unknown {
  switch (name) {
    case 'demo':
    case 'openNetwork':
      return text === 'true' || text === '1' ? true : text === 'false' || text === '0' ? false : text;
    case 'backupEveryH':
    case 'backupKeep':
    case 'brokerMaxConnections':
    case 'exportKeepH':
    case 'exportMaxMb':
    case 'maxRigs':
    case 'maxStreamClients':
      return /^\d+$/.test(text) ? Number(text) : text;
    case 'hostNames':
    case 'rigs':
      return text.split(',');
    default:
      return text;
  }
}

async function readToml(file: string): Promise<Record<string, unknown>> {
  let text: string;
  try {
    text = readFileSync(file, 'utf8');
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    throw new ProgramError(`Cannot read the configuration file ${file} (${code}).`, EXIT.configuration);
  }
  const { parse } = await import('smol-toml');
  let document: Record<string, unknown>;
  try {
    document = parse(text);
  } catch (error) {
    const [first] = (error as Error).message.split('\n');
    const line = (error as { line?: number }).line;
    throw new ProgramError(
      `Configuration file ${file}${line === undefined ? '' : `, line ${line}`}: ${first}.`,
      EXIT.configuration,
    );
  }
  const known = SETTING_NAMES.map(fileKeyOf);
  document = flat(document);
  for (const key of Object.keys(document)) {
    if (known.includes(key)) continue;
    const near = didYouMean(key, known);
    throw new ProgramError(
      `Configuration file ${file}: unknown key "${short(key)}"${near === null ? '' : `; did you mean "${near}"?`}`,
      EXIT.configuration,
    );
  }
  return document;
}

/** `[training]` with `control_url` below it is `training_control_url`. */
function flat(document: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(document).flatMap(([key, value]) =>
      key === 'training' && typeof value === 'object' && value !== null
        ? Object.entries(value).map(([below, one]) => [`${key}_${below}`, one])
        : [[key, value]],
    ),
  );
}

/** Long enough that nobody guesses it. */
const FEWEST_LETTERS = 16;

/** Secrets come by the environment, never by a flag or a file that others may read. Null: no dashboard of training. */
export function trainingSetup({ trainingControlUrl }: Settings): TrainingSetup | null {
  if (trainingControlUrl === null) return null;
  const [token, trainerKey] = [TRAINING_TOKEN_ENV, TRAINER_KEY_ENV].map(name => {
    const secret = process.env[name] ?? '';
    if (secret.length >= FEWEST_LETTERS) return secret;
    throw new ProgramError(
      `A dashboard of training needs ${name} in its environment, at least ${FEWEST_LETTERS} characters; ` +
        '"girthlog-simulator train" sets it.',
      EXIT.configuration,
    );
  }) as [string, string];
  return { controlUrl: trainingControlUrl, token, trainerKey };
}

/** The program that may enter things here, where the environment names one. */
export function programAccounts(): ProgramAccount[] {
  const { [PROGRAM_TOKEN_ENV]: token, [PROGRAM_NAME_ENV]: name, [PROGRAM_RIGHTS_ENV]: said } = process.env;
  if (token === undefined || token === '') return [];
  if (token.length < TOKEN_LEAST || !/^[\x21-\x7e]+$/.test(token)) {
    throw new ProgramError(
      `${PROGRAM_TOKEN_ENV} is a secret of at least ${TOKEN_LEAST} letters, figures and signs.`,
      EXIT.configuration,
    );
  }
  const rights = z.array(rightSchema).safeParse((said ?? '').split(',').filter(right => right !== ''));
  if (rights.success && rights.data.length > 0)
    return [{ name: name || 'program', token, rights: rights.data }];
  throw new ProgramError(
    `${PROGRAM_RIGHTS_ENV} says what the program may do: some of ${rightSchema.options.join(',')}.`,
    EXIT.configuration,
  );
}

/** What a supervisor told this process; nothing without one. */
export function serviceEnvironment(): ServiceEnvironment {
  const { NOTIFY_SOCKET, WATCHDOG_USEC, WATCHDOG_PID } = process.env;
  return { notifySocket: NOTIFY_SOCKET, watchdogUsec: WATCHDOG_USEC, watchdogPid: WATCHDOG_PID };
}
