import { existsSync } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { whyNotRead } from '#core/program/why-not-read';
import { ScenarioError } from '../scenario/load-scenario.ts';
import type { LessonFile } from './lesson-file.ts';
import { loadLesson } from './load-lesson.ts';

/** A lesson and the file it stands in: a recorded one has its samples beside it. */
export interface LibraryLesson {
  readonly file: string;
  readonly lesson: LessonFile;
}

const here = dirname(fileURLToPath(import.meta.url));

/** The folder of the lessons that ship: beside the built program, or in the checkout. */
export function shippedLessons(): string {
  const built = join(here, 'lessons');
  return existsSync(built) ? built : join(here, '..', 'lessons');
}

/** All lessons of these folders in the order of their files, which is that of teaching. Throws ScenarioError on the first wrong one, and on an id that stands twice. */
export async function readLessons(folders: readonly string[]): Promise<LibraryLesson[]> {
  const lessons = new Map<string, LibraryLesson>();
  for (const folder of folders) {
    const names = await readdir(folder).catch((error: Error) => {
      throw new ScenarioError(`${folder}: cannot be read: ${whyNotRead(error)}`);
    });
    for (const name of names.filter(name => name.endsWith('.toml')).sort()) {
      const file = join(folder, name);
      const lesson = await loadLesson(file);
      const other = lessons.get(lesson.id);
      if (other) throw new ScenarioError(`${file}: the id "${lesson.id}" stands in ${other.file} already`);
      lessons.set(lesson.id, { file, lesson });
    }
  }
  return [...lessons.values()];
}
