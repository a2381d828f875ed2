import type { FromRecording } from './lesson-from-recording.ts';
import { lessonFromRecording } from './lesson-from-recording.ts';
import { readLessons, shippedLessons } from './lesson-library.ts';
import { lessonRigs } from './lesson-rigs.ts';
import { lessonHead, lessonWindows, scenarioOfLesson } from './lesson-scenario.ts';
import { loadLesson } from './load-lesson.ts';

const print = (line: string): void => void process.stdout.write(`${line}\n`);

/** `girthlog-simulator lessons [--json]`. Throws ScenarioError. */
export async function lessonsCommand(flags: { json?: boolean; lessons?: readonly string[] }): Promise<void> {
  const lessons = await readLessons([shippedLessons(), ...(flags.lessons ?? [])]);
  const heads = lessons.map(({ lesson }) => lessonHead(lesson));
  if (flags.json) return print(JSON.stringify({ lessons: heads }));
  const width = Math.max(...heads.map(({ id }) => id.length));
  for (const { id, title, minutes, rigs, replay } of heads) {
    print(
      `${id.padEnd(width)}  ${String(minutes).padStart(5)} min  ${rigs} rigs  ${title}${replay ? ' (REPLAY)' : ''}`,
    );
  }
}

/** `girthlog-simulator lesson check FILE`. Throws ScenarioError. */
export async function lessonCheckCommand(file: string): Promise<void> {
  const lesson = await loadLesson(file);
  const scenario = scenarioOfLesson(lesson);
  const rigs = await lessonRigs({ file, lesson }, scenario, lesson.seed);
  print(
    `${file} is a lesson: ${lesson.title}; ${rigs.length} rigs, ${lesson.minutes} min, seed ${lesson.seed}.`,
  );
  for (const window of lessonWindows(lesson, scenario)) {
    const to = window.toMm === null ? 'the end' : `${window.toMm.toFixed(0)} mm`;
    const where = `${window.rig}, ${window.joint} ${window.pass}, ${window.fromMm.toFixed(0)} mm to ${to}`;
    print(`  ${window.kind.padEnd(6)}  ${window.id}: ${window.fault} ${window.size}, ${where}`);
  }
}

/** `girthlog-simulator lesson from-recording FILE`. Throws ScenarioError. */
export async function fromRecordingCommand(asked: FromRecording): Promise<void> {
  const [toml, samples] = await lessonFromRecording(asked);
  print(
    `Written: ${toml} and ${samples}. Enter its windows in the .toml, then: girthlog-simulator lesson check ${toml}`,
  );
}
