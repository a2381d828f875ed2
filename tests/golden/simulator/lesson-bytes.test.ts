/**
 * The bytes of a lesson and a seed are the same for ever and on any machine, whoever welds beside it. A change of the
 * physics or of a lesson changes them: `npx vitest run -u` on this file writes the new ones.
 */
import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { DeviceEmulator } from '../../../simulator/device/device-emulator.ts';
import { lessonRigs } from '../../../simulator/training/lesson-rigs.ts';
import { scenarioOfLesson } from '../../../simulator/training/lesson-scenario.ts';
import { shipped } from '../../support/lesson-bench.ts';

/** Frames: enough for the first windows. */
const ONE_MINUTE = 3000;
const LESSONS = ['stop-and-restart', 'verify-the-rig'];

/** Hash of everything that each rig's device sends in the lesson. */
async function hashes(
  id: string,
  firstJoint: number | null,
  more: readonly { id: string; side: 'A' | 'B' }[],
  most: number,
) {
  const found = (await shipped()).find(({ lesson }) => lesson.id === id)!;
  const scenario = scenarioOfLesson(found.lesson, firstJoint);
  const rigs = await lessonRigs(
    found,
    { ...scenario, rig: [...more.map(rig => ({ ...scenario.rig[0]!, ...rig })), ...scenario.rig] },
    found.lesson.seed,
  );
  return new Map(
    rigs.map(({ settings, source, channels, samplePeriodUs }) => {
      const device = new DeviceEmulator({ format: 'text', boot: 1, samplePeriodUs, firstUs: 0, channels });
      const hash = createHash('sha256').update(device.announce());
      let frames = 0;
      for (; !source.ended && frames < most; frames++) {
        const bytes = device.encode(source.nextFrame());
        if (bytes) hash.update(bytes);
      }
      return [settings.id, `${frames} frames, sha256 ${hash.digest('hex')}`];
    }),
  );
}

describe.each(LESSONS)('the lesson %s', id => {
  it('has the bytes it always had', async () => {
    const lines = [...(await hashes(id, null, [], Number.POSITIVE_INFINITY))].map(
      ([rig, text]) => `${rig}: ${text}\n`,
    );
    await expect(lines.join('')).toMatchFileSnapshot(`./lessons/${id}.txt`);
  });

  it('has the same bytes beside another rig, and under another joint number', async () => {
    const alone = await hashes(id, null, [], ONE_MINUTE);
    const together = await hashes(id, 4711, [{ id: 'rig-other', side: 'A' }], ONE_MINUTE);
    for (const [rig, text] of alone) expect(together.get(rig)).toBe(text);
    expect(together.get('rig-other')).not.toBe(alone.get('rig-a'));
  });
});
