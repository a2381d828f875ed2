import { readFile } from 'node:fs/promises';
import { parse } from 'smol-toml';
import type { z } from 'zod';
import { type Scenario, scenarioSchema } from './scenario.ts';

/** The scenario file is missing or wrong; `message` is one sentence naming file and place. */
export class ScenarioError extends Error {}

/** Reads and validates a scenario. Throws ScenarioError. */
export async function loadScenario(path: string): Promise<Scenario> {
  const text = await readFile(path, 'utf8').catch((error: Error) => {
    throw new ScenarioError(`${path}: ${error.message}`);
  });
  return parseScenario(text, path);
}

/** `name` stands for the text in messages. Throws ScenarioError. */
export function parseScenario(text: string, name: string): Scenario {
  let data: unknown;
  try {
    data = parse(text);
  } catch (error) {
    const [first] = (error as Error).message.split('\n');
    throw new ScenarioError(`${name}: ${first}`);
  }
  const parsed = scenarioSchema.safeParse(data);
  if (!parsed.success) throw new ScenarioError(`${name}: ${firstIssue(parsed.error)}`);
  return parsed.data;
}

function firstIssue(error: z.ZodError): string {
  const issue = error.issues[0]!;
  const place = issue.path.join('.');
  const more = error.issues.length > 1 ? ` (and ${error.issues.length - 1} more)` : '';
  return `${place === '' ? '' : `${place}: `}${issue.message}${more}`;
}
