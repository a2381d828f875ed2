import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { parse } from 'smol-toml';
import { describe, expect, it, onTestFinished } from 'vitest';
import { nodeProblem } from '#core/program/oldest-node';
import { ProgramError } from '#core/program/program-error';
import { configSchema } from '../../../edge/config/config-schema.ts';
import { DataFolder } from '../../../simulator/demo/data-folder.ts';
import { edgeConfigText } from '../../../simulator/demo/edge-config.ts';
import { nextJointNumber } from '../../../simulator/demo/next-joint.ts';
import { checkPort } from '../../../simulator/demo/port-check.ts';
import { simulatorEventOf } from '../../../simulator/demo/simulator-events.ts';
import { tempDir } from '../../support/temp-dir.ts';

describe('Node version', () => {
  it.each(['20.19.0', '20.20.2', '22.1.0', '24.0.0'])('%s is enough', version => {
    expect(nodeProblem(version)).toBeNull();
  });

  it.each(['18.20.4', '20.18.9', '20.9.0'])('%s is answered with one sentence', version => {
    expect(nodeProblem(version)).toBe(`Girthlog needs Node 20.19 or newer, and this is Node ${version}.`);
  });
});

describe('joint numbers', () => {
  it('go on after the highest of the same naming', () => {
    expect(nextJointNumber([], 'J-', 101)).toBe(101);
    expect(nextJointNumber(['J-0101', 'J-0107', 'J-0103'], 'J-', 101)).toBe(108);
    expect(nextJointNumber(['T-0999', 'J-12a', 'J-', 'J-7'], 'J-', 101)).toBe(101);
  });
});

describe('data folder', () => {
  it('is made where missing and held by one demo at a time', () => {
    const path = join(tempDir(), 'a', 'b');
    const first = new DataFolder(path);
    first.take();
    expect(existsSync(first.of('logs'))).toBe(true);
    first.release();
    // Process 1 always runs and is not this one.
    writeFileSync(first.of('demo.pid'), '1\n');
    expect(() => new DataFolder(path).take()).toThrow(/already running on .* \(process 1\)/);
  });

  it('is taken over from a demo that is gone', () => {
    const path = tempDir();
    mkdirSync(path, { recursive: true });
    writeFileSync(join(path, 'demo.pid'), '99999999\n');
    const folder = new DataFolder(path);
    folder.take();
    folder.release();
    expect(existsSync(join(path, 'demo.pid'))).toBe(false);
  });

  it.each(['/proc/girthlog', '/dev/null/girthlog'])('%s is answered with one sentence', path => {
    expect(() => new DataFolder(path).take()).toThrow(ProgramError);
    expect(() => new DataFolder(path).take()).toThrow(/cannot be written .* --data FOLDER$/);
  });
});

describe('port', () => {
  it('in use is one sentence that names it and says how to choose another', async () => {
    const server = createServer();
    await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
    onTestFinished(() => void server.close());
    const { port } = server.address() as { port: number };
    await expect(checkPort('127.0.0.1', port)).rejects.toThrow(
      `Port ${port} on 127.0.0.1 is already in use; choose another with: npm start -- --port 8090`,
    );
    await expect(checkPort('127.0.0.1', 0)).resolves.toBeUndefined();
  });
});

describe('what the demo hands on', () => {
  const listening = simulatorEventOf(
    '{"event":"listening","rig":"rig-a","side":"A","url":"tcp://127.0.0.1:41234","format":"text","samplePeriodMs":20,"referenceRadiusMm":325,"voltageTap":"tip"}',
  );

  it('an edge configuration that the edge accepts', () => {
    if (listening?.event !== 'listening') throw new Error('not understood');
    const text = edgeConfigText(listening, 'demo', 'mqtt://127.0.0.1:1883', '/tmp/edge.db');
    const config = configSchema.parse(parse(text));
    expect(config.rig).toMatchObject({
      site: 'demo',
      rig: 'rig-a',
      origin: 'simulated',
      reference_radius_mm: 325,
    });
    expect(config.store.required_stores).toEqual(['truck']);
  });

  it('nothing for lines it does not know', () => {
    expect(simulatorEventOf('{"event":"passDone","rig":"rig-a"}')).toBeNull();
    expect(simulatorEventOf('hello')).toBeNull();
  });
});
