/** The program as a person meets it: help, refusals in one sentence, exit codes. */
import { chmodSync, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { recordBodySchema } from '#core/messages/record';
import { Device, writeConfig } from '../support/edge-bench.ts';
import { freePort } from '../support/mosquitto.ts';
import { type RunningProgram, startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';

const NOBODY = 'tcp://127.0.0.1:9';

async function ends(args: readonly string[]): Promise<{ code: number | string; program: RunningProgram }> {
  const program = startProgram('girthlog-edge', args);
  return { code: await program.exited, program };
}

describe('girthlog-edge', () => {
  it('begins its help with examples', async () => {
    const { code, program } = await ends(['--help']);
    expect(code).toBe(0);
    expect(program.stdout().startsWith('Examples:\n  girthlog-edge run --config')).toBe(true);
    expect(program.stdout()).toContain('never commands a rig');
    expect(program.stderr()).toBe('');
  });

  it.each([
    ['an unknown command', ['rnu'], 2, /unknown command 'rnu'/],
    ['a missing flag', ['run'], 2, /required option '--config <file>'/],
    [
      'a configuration that is not there',
      ['run', '--config', '/nowhere.toml'],
      3,
      /no configuration file \/nowhere\.toml/,
    ],
  ])('%s: one sentence, no stack trace', async (_what, args, expected, sentence) => {
    const { code, program } = await ends(args);
    expect(code).toBe(expected);
    expect(program.stderr()).toMatch(sentence);
    expect(program.stderr()).not.toMatch(/\n\s+at /);
    expect(program.stdout()).toBe('');
  });

  it('shows every setting with where it came from', async () => {
    const config = writeConfig(tempDir(), NOBODY, 'mqtt://127.0.0.1:1');
    const { code, program } = await ends(['config', 'show', '--config', config, '--set', 'log.level=warn']);
    expect(code).toBe(0);
    expect(program.stdout()).toMatch(/^rig\.site = "spread-1" +# file /m);
    expect(program.stdout()).toMatch(/^log\.level = "warn" +# flag --set$/m);
    expect(program.stdout()).toMatch(/^engine\.arc_start_a = 30 +# default$/m);
  });

  it('refuses a store where it may not write, in one sentence, with 6', async () => {
    const dir = tempDir();
    writeFileSync(join(dir, 'edge.db'), '');
    const config = writeConfig(dir, NOBODY, 'mqtt://127.0.0.1:1');
    const blocked = join(dir, 'blocked');
    mkdirSync(blocked);
    chmodSync(blocked, 0o500);
    // The superuser may write everywhere: a file in the folder's place stops him too.
    const target = process.getuid?.() === 0 ? join(dir, 'edge.db', 'x.db') : join(blocked, 'x.db');
    const { code, program } = await ends(['run', '--config', config, '--set', `store.path=${target}`]);
    expect(code).toBe(6);
    expect(program.stderr()).toMatch(/^the store .* cannot be written: .*\n$/);
  });

  it('refuses a store that another edge holds', async () => {
    const config = writeConfig(tempDir(), NOBODY, 'mqtt://127.0.0.1:1');
    const first = startProgram('girthlog-edge', ['run', '--config', config]);
    await waitUntil(() => first.stderr().includes('"started"'), 'the first to start');
    const { code, program } = await ends(['run', '--config', config]);
    expect(code).toBe(6);
    expect(program.stderr()).toMatch(/in use by another girthlog-edge/);
    expect(await first.stop()).toBe(0);
  });

  it('runs without a broker and without a device, and stops when told', async () => {
    const config = writeConfig(tempDir(), NOBODY, `mqtt://127.0.0.1:${await freePort()}`);
    const edge = startProgram('girthlog-edge', ['run', '--config', config]);
    await waitUntil(() => edge.stderr().includes('brokerRefused'), 'the broker to be missed');
    await waitUntil(() => edge.stderr().includes('"absent"'), 'the device to be missed');
    const began = Date.now();
    edge.child.kill('SIGINT');
    expect(await edge.exited).toBe(0);
    expect(Date.now() - began).toBeLessThan(5000);
  });

  it('does not pass simulated data off as real: it ends with 3 and records none of it', async () => {
    const device = new Device();
    const port = await device.start();
    try {
      const dir = tempDir();
      const config = writeConfig(dir, `tcp://127.0.0.1:${port}`, 'mqtt://127.0.0.1:1');
      const { code, program } = await ends(['run', '--config', config, '--set', 'rig.origin=real']);
      expect(code).toBe(3);
      expect(program.stderr()).toMatch(/the device says its data is simulated, but rig\.origin is "real"/);
      const db = new Database(join(dir, 'edge.db'), { readonly: true });
      const bodies = db.prepare<[], string>('SELECT body FROM batch').pluck().all() as string[];
      db.close();
      expect(
        bodies.map(body => recordBodySchema.parse(JSON.parse(body)).samples).every(s => s === null),
      ).toBe(true);
    } finally {
      device.stop();
    }
  });
});
