/**
 * The bytes of a seed are the same for ever and on any machine. A change of the physics changes them:
 * `npx vitest run -u` on this file writes the new ones, and the diff shows what changed.
 */
import { createHash } from 'node:crypto';
import { beforeAll, expect, it } from 'vitest';
import {
  DEVICE_CHANNELS,
  DeviceEmulator,
  type DeviceFormat,
} from '../../../simulator/device/device-emulator.ts';
import { rigsOfScenario } from '../../../simulator/scenario/rigs-of-scenario.ts';
import { scenarioSchema } from '../../../simulator/scenario/scenario.ts';

/** Every kind of noise, both tap points, and a fault in each pass of a small pipe. */
const scenario = scenarioSchema.parse({
  schema: 'girthlog.scenario/1',
  joints: { count: 1 },
  pipe: { outside_diameter_mm: 168 },
  rig: [
    { id: 'rig-a', side: 'A', voltage_tap: 'source', feed_sensor: 'wire' },
    { id: 'rig-b', side: 'B' },
  ],
  fault: [
    { kind: 'stickOutGrowth', size: 4, pass: 'hot', from_mm: 60, ramp_mm: 40 },
    { kind: 'wornTip', size: 2, pass: 'fill 1', side: 'A' },
    { kind: 'stopRestart', size: 3, pass: 'fill 1', side: 'B', from_mm: 120 },
    { kind: 'draught', size: 60, pass: 'fill 2', from_clock: 3, side: 'B' },
    { kind: 'heldValue', pass: 'fill 3', from_mm: 200 },
    { kind: 'wrongPass', other_pass: 'hot', pass: 'cap', to_mm: 30 },
  ],
});

const reports: Record<DeviceFormat, string[]> = { text: [], binary: [] };

beforeAll(() => {
  const forms = Object.keys(reports) as DeviceFormat[];
  for (const { settings, program } of rigsOfScenario(scenario, 20_261_124, null, 20)) {
    // One rig welds; a board of each form says what it measured.
    const boards = forms.map(format => {
      const settings = { boot: 1, samplePeriodUs: 20_000, firstUs: 2 ** 32 - 60_000_000 };
      const device = new DeviceEmulator({ ...settings, format, channels: DEVICE_CHANNELS });
      return { format, device, hash: createHash('sha256').update(device.announce()) };
    });
    let frames = 0;
    while (!program.ended) {
      const frame = program.nextFrame();
      for (const { device, hash } of boards) {
        const bytes = device.encode(frame);
        if (bytes) hash.update(bytes);
      }
      for (const event of program.drainEvents()) {
        if (event.event !== 'passDone') continue;
        const { truth, pass } = event;
        const line =
          `${settings.id} ${pass.setPoint.name}: ${truth.arcTimeS.toFixed(2)} s, ${truth.lengthMm.toFixed(1)} mm, ` +
          `${truth.energyKj.toFixed(2)} kJ, wire ${truth.wireMm.toFixed(0)} mm`;
        for (const form of forms) reports[form].push(line);
      }
      frames++;
    }
    for (const { format, hash } of boards)
      reports[format].push(`${settings.id}: ${frames} frames, sha256 ${hash.digest('hex')}`);
  }
});

it.each<DeviceFormat>(['text', 'binary'])('one small joint in the %s form', async format => {
  await expect(`${reports[format].join('\n')}\n`).toMatchFileSnapshot(`./small-joint/${format}.txt`);
});
