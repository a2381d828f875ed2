import { readFile } from 'node:fs/promises';
import { whyNotRead } from '#core/program/why-not-read';
import { parseToml } from './parse-toml.ts';
import { type Scenario, scenarioSchema } from './scenario.ts';

/** A scenario or lesson file is missing or wrong; `message` is one sentence naming file and place. */
export class ScenarioError extends Error {}

/** Reads and validates a scenario. Throws ScenarioError. */
export async function loadScenario(path: string): Promise<Scenario> {
  const text = await readFile(path, 'utf8').catch((error: Error) => {
    throw new ScenarioError(`${path}: cannot be read: ${whyNotRead(error)}`);
  });
  return parseScenario(text, path);
}

/** `name` stands for the text in messages. Throws ScenarioError. */
export function parseScenario(text: string, name: string): Scenario {
  const parsed = parseToml(scenarioSchema, text, name);
  if ('problem' in parsed) throw new ScenarioError(parsed.problem);
  return parsed.data;
}
