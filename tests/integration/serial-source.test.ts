/** Cables, silence, restarts and garbage on a real pseudo-terminal. */
import { SerialPort } from 'serialport';
import { describe, expect, it } from 'vitest';
import { defaultDeviceChannels } from '#core/frame/device-announcement';
import { FrameEncoder } from '#core/frame/frame-encoder';
import { concatChunks } from '#core/sample/chunk';
import { makePty, noSocat, type Pty } from '../support/pty.ts';
import { type Listener, listen, monotonicUs } from '../support/pty-listener.ts';
import { waitUntil } from '../support/wait-until.ts';
import { joined } from '../unit/frame/frame-support.ts';

/** A device that prints a frame every 10 ms of its own time, which follows the real one. */
class Device {
  encoder: FrameEncoder;
  readonly pty: Pty;
  private startUs = monotonicUs();
  private lastUs = 0;
  private timer: NodeJS.Timeout | null = null;

  constructor(pty: Pty, boot: number) {
    this.pty = pty;
    this.encoder = makeEncoder(boot);
  }

  run(): void {
    this.pty.write(this.encoder.announcementBytes);
    this.timer = setInterval(() => this.tick(), 10);
  }

  halt(): void {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
  }

  restart(boot: number): void {
    this.encoder = makeEncoder(boot);
    this.startUs = monotonicUs();
    this.lastUs = 0;
    this.pty.write(this.encoder.announcementBytes);
  }

  private tick(): void {
    const nowUs = monotonicUs() - this.startUs;
    if (this.lastUs % 1_000_000 < 10_000) this.pty.write(this.encoder.announcementBytes);
    for (; this.lastUs + 10_000 <= nowUs; this.lastUs += 10_000) {
      this.pty.write(this.encoder.data(this.lastUs, 10_000, [[200 + ((this.lastUs / 10_000) % 50), 24]]));
    }
  }
}

function makeEncoder(boot: number): FrameEncoder {
  return new FrameEncoder('text', {
    simulated: false,
    boot,
    samplePeriodUs: 10_000,
    channels: defaultDeviceChannels(['weldingCurrent', 'arcVoltage']),
  });
}

async function running(boot = 5): Promise<{ pty: Pty; device: Device; listener: Listener }> {
  const pty = makePty();
  await pty.plug();
  const listener = listen({ url: `serial://${pty.path}` });
  await waitUntil(() => listener.state()?.state === 'open', 'the port to open');
  const device = new Device(pty, boot);
  device.run();
  await waitUntil(() => listener.samples() > 10, 'samples');
  return { pty, device, listener };
}

/** Strictly increasing times, and every value one the device sends. */
function expectTrue(listener: Listener): void {
  const { n, tUs, columns } = concatChunks(listener.chunks);
  for (let i = 0; i < n; i++) {
    if (i > 0) expect(tUs[i]!).toBeGreaterThan(tUs[i - 1]!);
    expect(columns.weldingCurrent![i]!).toBeGreaterThanOrEqual(200);
    expect(columns.weldingCurrent![i]!).toBeLessThan(250);
    expect(columns.arcVoltage![i]).toBe(24);
  }
}

describe.skipIf(noSocat())('a serial source', () => {
  it('notices a pulled cable at once and logs again within 1 s of its return', async () => {
    const { pty, device, listener } = await running();
    for (let cycle = 0; cycle < 4; cycle++) {
      const pulledUs = monotonicUs();
      await pty.unplug();
      await waitUntil(() => listener.state()?.state === 'absent', 'the loss to be noticed');
      // The test's own wait polls every 10 ms, and two cores are shared.
      expect(listener.state()!.sinceUs - pulledUs).toBeLessThan(300_000);
      expect(listener.state()!.detail).toMatch(
        /is (gone|not there): trying again in [\d.]+ s, or as soon as it is back/,
      );
      await pty.plug();
      const backUs = monotonicUs();
      const before = listener.samples();
      await waitUntil(() => listener.samples() > before, 'samples again');
      expect(concatChunks(listener.chunks).tUs.at(-1)! - backUs).toBeLessThan(1_000_000);
    }
    device.halt();
    expectTrue(listener);
    expect(listener.restarts).toEqual([]);
    expect(listener.source.counters()['openings']).toBe(5);
  });

  it('is absent, visibly, until the port appears for the first time', async () => {
    const pty = makePty();
    const listener = listen({ url: `serial://${pty.path}` });
    await waitUntil(() => listener.state()?.detail?.includes('is not there'), 'the sentence');
    expect(listener.state()).toMatchObject({ state: 'absent', problem: 'missing' });
    expect(listener.states.map(({ state }) => state)).not.toContain('open');
    await pty.plug();
    await waitUntil(() => listener.state()?.state === 'open', 'the port to open');
  });

  it('stalls when the device falls silent and streams again when it speaks', async () => {
    const { device, listener } = await running();
    device.halt();
    const silentUs = monotonicUs();
    await waitUntil(() => listener.state()?.state === 'stalled', 'the stall');
    const afterUs = listener.state()!.sinceUs - silentUs;
    expect(afterUs).toBeGreaterThan(400_000);
    expect(afterUs).toBeLessThan(1_000_000);
    device.run();
    await waitUntil(() => listener.state()?.state === 'streaming', 'the stream');
    device.halt();
    expectTrue(listener);
  });

  it('opens the line again after 3 s of silence', async () => {
    const { device, listener } = await running();
    device.halt();
    await waitUntil(() => listener.source.counters()['openings'] === 2, 'the line to be opened again');
    const names = listener.states.map(({ state }) => state);
    const tail = names.slice(names.lastIndexOf('streaming'), names.lastIndexOf('open') + 1);
    expect(tail).toEqual(['streaming', 'stalled', 'closing', 'opening', 'open']);
  });

  it('begins a new piece when the device restarts', async () => {
    const { device, listener } = await running(5);
    device.restart(6);
    const before = listener.samples();
    await waitUntil(() => listener.samples() > before + 10, 'samples of the new run');
    device.halt();
    expect(listener.restarts).toEqual(['bootChanged']);
    expectTrue(listener);
  });

  it('survives garbage, half frames and frames without a beginning', async () => {
    const { pty, device, listener } = await running();
    const frame = makeEncoder(5).data(0, 10_000, [[999, 99]]);
    for (const noise of [
      Uint8Array.from({ length: 700 }, (_, i) => (i * 89) & 0xff),
      frame.subarray(0, 20),
      frame.subarray(9),
      Uint8Array.of(0, 0, 0, 0),
      new Uint8Array(3000).fill(0x55),
    ]) {
      pty.write(joined(Uint8Array.of(10), noise, Uint8Array.of(10)));
      const before = listener.samples();
      await waitUntil(() => listener.samples() > before + 3, 'samples after the noise');
    }
    device.halt();
    expectTrue(listener);
    const { discardedBytes, lostFrames } = listener.source.counters();
    expect(discardedBytes).toBeGreaterThan(700);
    expect(lostFrames).toBe(0);
  });

  it('says which program to close, and takes the port within 1 s when it is free', async () => {
    const pty = makePty();
    await pty.plug();
    const other = new SerialPort({ path: pty.path, baudRate: 115_200, lock: true, autoOpen: false });
    await new Promise<void>((resolve, reject) => other.open(error => (error ? reject(error) : resolve())));
    const listener = listen({ url: `serial://${pty.path}` });
    await waitUntil(() => listener.state()?.problem === 'busy', 'the sentence');
    expect(listener.state()!.detail).toMatch(/in use by another program: close that one: trying again in/);
    await new Promise<void>(resolve => other.close(() => resolve()));
    const freeUs = monotonicUs();
    await waitUntil(() => listener.state()?.state === 'open', 'the port to open');
    expect(listener.state()!.sinceUs - freeUs).toBeLessThan(1_000_000);
  });

  it('lets go of the port when it is stopped, at any moment', async () => {
    for (const wanted of ['opening', 'open', 'streaming']) {
      const pty = makePty();
      await pty.plug();
      const listener = listen({ url: `serial://${pty.path}` });
      const device = new Device(pty, 1);
      if (wanted === 'streaming') device.run();
      await waitUntil(() => listener.states.some(({ state }) => state === wanted), wanted);
      await listener.source.stop();
      device.halt();
      expect(listener.state()?.state).toBe('ended');
      const after = listener.chunks.length;
      const again = new SerialPort({ path: pty.path, baudRate: 115_200, lock: true, autoOpen: false });
      await new Promise<void>((resolve, reject) => again.open(error => (error ? reject(error) : resolve())));
      await new Promise<void>(resolve => again.close(() => resolve()));
      expect(listener.chunks.length).toBe(after);
    }
  });
});
