import { readFile } from 'node:fs/promises';
import { z } from 'zod';
import { whyNotRead } from '#core/program/why-not-read';
import { plannedPasses } from '../scenario/joint-plan.ts';
import { ScenarioError } from '../scenario/load-scenario.ts';
import { firstProblem, parseToml, place } from '../scenario/parse-toml.ts';
import { scenarioSchema } from '../scenario/scenario.ts';
import { tomlLine } from '../scenario/toml-line.ts';
import { type LessonFile, lessonFileSchema } from './lesson-file.ts';
import { lessonWindows, scenarioInput } from './lesson-scenario.ts';

/** Reads and validates a lesson. Throws ScenarioError with file, line and key. */
export async function loadLesson(path: string): Promise<LessonFile> {
  const text = await readFile(path, 'utf8').catch((error: Error) => {
    throw new ScenarioError(`${path}: cannot be read: ${whyNotRead(error)}`);
  });
  return parseLesson(text, path);
}

/** `name` stands for the text in messages. Throws ScenarioError. */
export function parseLesson(text: string, name: string): LessonFile {
  const parsed = parseToml(lessonFileSchema, text, name);
  if ('problem' in parsed) throw new ScenarioError(parsed.problem);
  const lesson = parsed.data;
  // What a scenario would refuse, said at the place of the window that asks for it.
  const scenario = scenarioSchema.safeParse(scenarioInput(lesson));
  if (!scenario.success) {
    const issues = scenario.error.issues.map(issue => ({
      ...issue,
      path: issue.path.map(part =>
        part === 'fault' ? 'window' : part === 'channel' ? 'fault_channel' : part,
      ),
      message: issue.message.replace(/needs channel$/, 'needs fault_channel'),
    }));
    throw new ScenarioError(firstProblem(lessonFileSchema, new z.ZodError(issues), text, name));
  }
  for (const [i, window] of lessonWindows(lesson, scenario.data).entries()) {
    const rig = scenario.data.rig.find(({ id }) => id === window.rig)!;
    const { lengthMm } = plannedPasses(scenario.data, rig, 0).next().value!;
    const at = place(name, tomlLine(text, ['window', i]));
    if (window.fromMm >= lengthMm) {
      throw new ScenarioError(
        `${at}: window "${window.id}" begins beyond the pass, ${lengthMm.toFixed(0)} mm long`,
      );
    }
    if (window.toMm !== null && window.toMm < window.fromMm) {
      throw new ScenarioError(`${at}: window "${window.id}" ends before it begins`);
    }
  }
  return lesson;
}
