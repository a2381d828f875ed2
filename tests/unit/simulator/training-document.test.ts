/** docs/training.md says of lessons what the code does. */

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { ACTIONS, NAMED_CHANNELS } from '#core/training/names';
import { lessonFileSchema } from '../../../simulator/training/lesson-file.ts';
import { parseLesson } from '../../../simulator/training/load-lesson.ts';
import { codes, tableIn } from '../../support/document-table.ts';
import { shipped } from '../../support/lesson-bench.ts';

const text = readFileSync(new URL('../../../docs/training.md', import.meta.url), 'utf8');

describe('docs/training.md', () => {
  it('lists the lessons that ship with their minutes, in the order in which the program and the page offer them', async () => {
    const rows = tableIn(text, '## The lessons that ship').map(([id, minutes]) => [
      codes(id!)[0],
      Number(minutes),
    ]);
    const lessons = (await shipped()).map(({ lesson }) => [lesson.id, lesson.minutes]);
    expect(rows).toEqual(lessons);
  });

  it('shows a lesson that is accepted', () => {
    const example = /```toml\n([\s\S]*?)```/.exec(text)![1]!;
    expect(parseLesson(example, 'example').window).toHaveLength(2);
  });

  it('lists every key of a lesson beside those of a scenario', () => {
    const documented = tableIn(text, '| Key | Meaning').flatMap(([cell]) => {
      const [first, ...others] = codes(cell!);
      const [table, below] = first!.split('.');
      return below === undefined ? [first!, ...others] : [first!, ...others.map(key => `${table}.${key}`)];
    });
    const { id, title, objectives, minutes, seed, recording, window } = lessonFileSchema.shape;
    const below = { window: window.unwrap().element.shape, recording: recording.unwrap().element.shape };
    const keys = [
      ...Object.keys({ id, title, objectives, minutes, seed }),
      ...Object.entries(below).flatMap(([table, shape]) => Object.keys(shape).map(key => `${table}.${key}`)),
    ];
    expect(documented.sort()).toEqual(keys.sort());
  });

  it('lists every answer', () => {
    const row = (key: string) => tableIn(text, '| Key | Meaning').find(([cell]) => codes(cell!)[0] === key)!;
    expect(codes(row('window.channels')[1]!)).toEqual([...NAMED_CHANNELS]);
    expect(codes(row('window.actions')[1]!)).toEqual([...ACTIONS]);
  });
});
