/** One contract for every way bytes come in: serial port, TCP and file give the same samples. */
import { writeFileSync } from 'node:fs';
import { type AddressInfo, createServer } from 'node:net';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { type DeviceAnnouncement, defaultDeviceChannels } from '#core/frame/device-announcement';
import { FrameEncoder } from '#core/frame/frame-encoder';
import { concatChunks } from '#core/sample/chunk';
import { makePty, noSocat } from '../support/pty.ts';
import { type Listener, listen } from '../support/pty-listener.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';
import { joined } from '../unit/frame/frame-support.ts';

const SAMPLES = 120;
const DEVICE: DeviceAnnouncement = {
  simulated: true,
  boot: 12,
  samplePeriodUs: 10_000,
  channels: defaultDeviceChannels(['weldingCurrent', 'arcVoltage', 'power', 'travelDistance', 'status']),
};

const row = (k: number): (number | null)[] => [
  k % 17 === 0 ? null : 230 + Math.sin(k) * 20,
  24 + Math.cos(k),
  5600 + k,
  k * 0.08,
  k % 4,
];

function recording(format: string): Uint8Array {
  if (format === 'delimited') {
    const lines = Array.from({ length: SAMPLES }, (_, k) => {
      const [, voltage, power] = row(k);
      return `${k * 10};${(230 + Math.sin(k)).toFixed(1)};${voltage!.toFixed(2)};${power}\n`;
    });
    return Uint8Array.from(lines.join(''), c => c.charCodeAt(0));
  }
  const encoder = new FrameEncoder(format as 'text' | 'binary', DEVICE);
  const parts = [encoder.announcementBytes];
  for (let k = 0; k < SAMPLES; k += 5) {
    parts.push(
      encoder.data(
        77_000_000 + k * 10_000,
        10_000,
        [0, 1, 2, 3, 4].map(i => row(k + i)),
      ),
    );
  }
  return joined(...parts);
}

const SETTINGS: Record<string, object> = {
  text: { format: 'text' },
  binary: { format: 'binary' },
  auto: { format: 'auto' },
  delimited: {
    format: 'delimited',
    delimited: {
      delimiter: ';',
      time: { column: 0, unit: 'ms' },
      weldingCurrent: { column: 1, unit: 'A' },
      arcVoltage: { column: 2, unit: 'V' },
      power: { column: 3, unit: 'W' },
    },
  },
};

type Transport = (settings: object, bytes: Uint8Array) => Promise<Listener>;

const TRANSPORTS: Record<string, Transport> = {
  serial: async (settings, bytes) => {
    const pty = makePty();
    await pty.plug();
    const listener = listen({ ...settings, url: `serial://${pty.path}?baud=115200` });
    await waitUntil(() => listener.state()?.state === 'open', 'the port to open');
    pty.write(bytes);
    return listener;
  },
  tcp: async (settings, bytes) => {
    const server = createServer(socket => {
      socket.on('error', () => undefined);
      socket.write(bytes);
    });
    await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
    onTestFinished(() => new Promise<void>(resolve => server.close(() => resolve())));
    const { port } = server.address() as AddressInfo;
    return listen({ ...settings, url: `tcp://127.0.0.1:${port}` });
  },
  'file, fast': async (settings, bytes) => {
    const path = join(tempDir(), 'line.rec');
    writeFileSync(path, bytes);
    return listen({ ...settings, url: `file://${path}?pace=fast` });
  },
  'file, real pace': async (settings, bytes) => {
    const path = join(tempDir(), 'line.rec');
    writeFileSync(path, bytes);
    return listen({ ...settings, url: `file://${path}?pace=real` });
  },
};

describe.each(Object.keys(SETTINGS))('a line of form %s', form => {
  const format = form === 'auto' ? 'binary' : form;
  it.each(Object.keys(TRANSPORTS))('over %s gives the samples that were sent', async name => {
    if (name === 'serial' && noSocat()) return;
    const bytes = recording(format);
    // A port is joined in the middle of a line: without a checksum the first line end is waited for.
    const isLive = name === 'serial' || name === 'tcp';
    const lead = form === 'delimited' && isLive ? Uint8Array.of(10, 49, 10) : new Uint8Array();
    const listener = await TRANSPORTS[name]!(SETTINGS[form]!, joined(lead, bytes));
    await waitUntil(
      () => listener.samples() === SAMPLES,
      () => `${listener.samples()} of ${SAMPLES} samples`,
    );
    const { tUs, lengthUs, columns } = concatChunks(listener.chunks);
    const relative = [...tUs].map(t => t - tUs[0]!);
    expect(relative).toEqual(Array.from({ length: SAMPLES }, (_, k) => k * 10_000));
    expect(lengthUs === null ? null : new Set(lengthUs)).toEqual(
      format === 'delimited' ? null : new Set([10_000]),
    );
    for (let k = 0; k < SAMPLES; k++) {
      const [current, voltage, power, distance, status] = row(k);
      expect(columns.arcVoltage![k]).toBe(Math.round(voltage! * 100) / 100);
      expect(columns.power![k]).toBe(power);
      if (format === 'delimited') continue;
      expect(columns.weldingCurrent![k]).toBe(current === null ? Number.NaN : Math.round(current! * 10) / 10);
      expect(columns.travelDistance![k]).toBe(Math.round(distance! * 100) / 100);
      expect(columns.status![k]).toBe(status);
    }
    expect(listener.announcements).toHaveLength(1);
    expect(listener.announcements[0]).toMatchObject({
      format,
      simulated: format === 'delimited' ? null : true,
    });
    expect(listener.states.map(({ state }) => state)).toContain('streaming');
    expect(listener.restarts).toEqual([]);
    expect(listener.source.counters()).toMatchObject({
      samples: SAMPLES,
      badCrc: 0,
      malformed: 0,
      lostFrames: 0,
    });
    if (!isLive) {
      await waitUntil(() => listener.state()?.state === 'ended', 'the end of the file');
      expect(listener.state()!.problem).toBeNull();
    }
  });
});
