import { rigsOfScenario } from '../scenario/rigs-of-scenario.ts';
import type { Scenario } from '../scenario/scenario.ts';
import type { LibraryLesson } from './lesson-library.ts';
import { type LessonRig, SimulatedLessonRig } from './lesson-rig.ts';
import { recordedRigs } from './recorded-rig.ts';

/** Length of one frame, ms: 50 readings a second. */
export const LESSON_FRAME_MS = 20;

/** The rigs of a lesson, ready to run; recorded ones read their samples from beside the lesson. Throws ScenarioError. */
export async function lessonRigs(
  { lesson, file }: LibraryLesson,
  scenario: Scenario,
  seed: number,
): Promise<readonly LessonRig[]> {
  if (lesson.recording.length > 0) return await recordedRigs(lesson, file, scenario, LESSON_FRAME_MS);
  return rigsOfScenario(scenario, seed, null, LESSON_FRAME_MS).map(
    run => new SimulatedLessonRig(run, LESSON_FRAME_MS),
  );
}
