/** What an edge recorded as bytes, cut out and decoded again, is what it recorded as samples. */
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Health } from '#core/messages/health';
import { readings, Sink, startDevice, writeConfig } from '../support/edge-bench.ts';
import { mosquittoMissing, startMosquitto } from '../support/mosquitto.ts';
import { startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';

describe.skipIf(mosquittoMissing)('the black box of an edge', () => {
  it('holds what the samples were made of', async () => {
    const broker = await startMosquitto();
    const sink = new Sink(broker.url);
    const { device, url } = await startDevice();
    const dir = tempDir();
    const config = writeConfig(dir, url, broker.url);
    const edge = startProgram('girthlog-edge', ['run', '--config', config]);
    await waitUntil(
      () => sink.kept.size >= 20,
      () => `records; ${edge.stderr()}`,
    );
    await waitUntil(() => {
      const box = sink.newest<Health>('health')?.blackBox;
      return box && box.state === 'recording' && box.leftOutBytes === 0;
    }, 'health to tell of the black box');
    device.silence();
    expect(await edge.stop()).toBe(0);
    const [first] = sink.streams();
    const live = readings(sink.records(first!));

    const listed = startProgram('girthlog-edge', ['black-box', 'list', '--config', config, '--json']);
    expect(await listed.exited).toBe(0);
    const [file] = JSON.parse(listed.stdout()) as { startedUtc: string; source: string; bytes: number }[];
    expect(file).toMatchObject({ source: url });
    const out = join(dir, 'again.blackbox');
    const span = ['--from', file!.startedUtc, '--to', '2100-01-01T00:00:00Z'];
    const cut = startProgram('girthlog-edge', [
      'black-box',
      'cut',
      '--config',
      config,
      ...span,
      '--out',
      out,
    ]);
    expect(await cut.exited, cut.stderr()).toBe(0);
    expect(cut.stdout()).toMatch(/again\.blackbox: \d+ bytes of the link/);

    const again = writeConfig(tempDir(), `file://${out}?pace=fast`, broker.url);
    const replay = startProgram('girthlog-edge', ['run', '--config', again]);
    await waitUntil(
      () => sink.streams().length === 2 && readings(sink.records(sink.streams()[1]!)).length >= live.length,
      () => `the replay; ${replay.stderr().slice(-2000)}`,
    );
    expect(readings(sink.records(sink.streams()[1]!)).map(({ steps }) => steps)).toEqual(
      live.map(({ steps }) => steps),
    );
    expect(await replay.stop()).toBe(0);
    const missing = startProgram('girthlog-edge', [
      ...['black-box', 'cut', '--config', config, '--out', join(dir, 'none')],
      ...['--from', '1999-01-01T00:00:00Z', '--to', '1999-01-02T00:00:00Z'],
    ]);
    expect(await missing.exited).toBe(4);
    expect(missing.stderr()).toMatch(/^nothing of that time is kept in /);
  });
});
