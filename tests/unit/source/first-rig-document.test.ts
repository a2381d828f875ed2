/** What docs/first-rig.md tells an installer to write works: the C program, both files, the Modbus map. */
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { ServerTCP } from 'modbus-serial';
import { parse } from 'smol-toml';
import { describe, expect, it, onTestFinished } from 'vitest';
import { TextDecoder as TextFrameDecoder } from '#core/frame/text-decoder';
import { concatChunks } from '#core/sample/chunk';
import { loadConfig as loadDashboardConfig } from '../../../dashboard/server/load-config.ts';
import { refuseOpenNetwork } from '../../../dashboard/server/machines/network-rules.ts';
import { loadConfig } from '../../../edge/config/load-config.ts';
import { sourceSettingsSchema } from '../../../edge/source/source-settings.ts';
import { freePort } from '../../support/free-port.ts';
import { isMissing } from '../../support/programs.ts';
import { listen } from '../../support/pty-listener.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { waitUntil } from '../../support/wait-until.ts';
import { rowsOf } from '../frame/frame-support.ts';

const DOCUMENT = readFileSync(join(import.meta.dirname, '../../../docs/first-rig.md'), 'utf8');
const blocks = (language: string): string[] =>
  [...DOCUMENT.matchAll(new RegExp(`^\`\`\`${language}\\n(.*?)^\`\`\``, 'gms'))].map(match => match[1]!);
const [modbus, edge, truck] = blocks('toml');

/** Big-endian words of a single float (IEEE 754), the high one first. */
function words(value: number): [number, number] {
  const view = new DataView(new ArrayBuffer(4));
  view.setFloat32(0, value);
  return [view.getUint16(0), view.getUint16(2)];
}

describe('docs/first-rig.md', () => {
  it.skipIf(isMissing('cc', 'apt-get install gcc'))('its program in C is read without a discard', () => {
    const [program] = blocks('c');
    const folder = tempDir();
    writeFileSync(join(folder, 'device.c'), program!);
    const flags = ['-std=gnu11', '-Wall', '-Wextra', '-Werror'];
    execFileSync('cc', [...flags, '-o', 'device', 'device.c'], { cwd: folder });
    // It sends for ever: a second of it, with two announcements.
    const sent = execFileSync('sh', ['-c', './device | head -n 103'], { cwd: folder });
    const decoder = new TextFrameDecoder();
    const outputs = decoder.push(sent, 0);
    expect(outputs[0]).toMatchObject({
      kind: 'announce',
      announcement: { boot: null, samplePeriodUs: 10_000, simulated: false },
    });
    const rows = rowsOf(outputs, ['weldingCurrent', 'arcVoltage', 'travelDistance']);
    expect(rows).toHaveLength(101);
    for (const [k, [beginUs, lengthUs, current, voltage, travelled]] of rows.entries()) {
      // One interval ends where the next begins: nothing of the weld is missing.
      if (k > 0) expect(beginUs).toBe(rows[k - 1]![0]! + rows[k - 1]![1]!);
      expect(lengthUs).toBeGreaterThanOrEqual(10_000);
      expect(Math.abs(current! - 235.95)).toBeLessThan(1);
      expect(Math.abs(voltage! - 23.995)).toBeLessThan(0.1);
      expect(travelled).toBe(Math.round((k + 1) * 8) / 100);
    }
    expect(decoder.counters).toMatchObject({
      announcements: 2,
      frames: 103,
      discardedBytes: 0,
      lostFrames: 0,
    });
  });

  it('its file is one that the edge takes', () => {
    const file = join(tempDir(), 'rig-1.toml');
    writeFileSync(file, edge!);
    const { config } = loadConfig({ file, set: [], env: {} });
    expect(config.rig).toMatchObject({
      site: 'spread-1',
      rig: 'rig-a',
      origin: 'real',
      reference_radius_mm: 325,
    });
    expect(config.rig.voltage_tap_point).toBe('at the torch');
  });

  it('its settings of the truck are those of a dashboard that edges reach', async () => {
    const file = join(tempDir(), 'dashboard.toml');
    writeFileSync(file, truck!);
    const { settings } = await loadDashboardConfig({}, file);
    expect(settings).toMatchObject({ tls: 'on', http: { port: 8443 }, mqtt: { port: 8883 } });
    expect(() => refuseOpenNetwork(settings)).not.toThrow();
  });

  it('its Modbus map reads what the registers hold, in the units it names', async () => {
    const source = parse(modbus!)['source'] as Record<string, unknown>;
    expect(sourceSettingsSchema.safeParse(source).error?.issues).toBeUndefined();
    const port = await freePort();
    const [high, low] = words(0.45);
    const input: Record<number, number> = { 30: 2361, 31: 2405 };
    const holding: Record<number, number> = { 100: low, 101: high };
    const read = (values: Record<number, number>) => (address: number) =>
      values[address] ?? Promise.reject({ modbusErrorCode: 2 });
    const server = new ServerTCP(
      { getInputRegister: read(input), getHoldingRegister: read(holding) },
      { host: '127.0.0.1', port, unitID: 1 },
    );
    onTestFinished(() => new Promise<void>(resolve => server.close(() => resolve())));
    await new Promise<void>(resolve => server.on('initialized', () => resolve()));
    const url = String(source['url']).replace('192.168.7.20:502', `127.0.0.1:${port}`);
    const listener = listen({ ...source, url });
    await waitUntil(() => listener.samples() >= 2, 'samples');
    await listener.source.stop();
    const { columns } = concatChunks(listener.chunks);
    // 0.45 m/min = 450 mm in 60 s.
    expect([columns.weldingCurrent![0], columns.arcVoltage![0], columns.travelSpeed![0]]).toEqual([
      236.1, 24.05, 7.5,
    ]);
  });
});
