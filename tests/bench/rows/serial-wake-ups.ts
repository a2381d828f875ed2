import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { openSource } from '../../../edge/source/open-source.ts';
import { systemSourceClock } from '../../../edge/source/source-clock.ts';
import { sourceSettingsSchema } from '../../../edge/source/source-settings.ts';
import { waitUntil } from '../../support/wait-until.ts';
import { startFeeder } from '../harness/feeder-process.ts';
import { atMost, type BenchContext, type Benchmark } from '../harness/figure.ts';
import { ratioOf, showMedian, takeTurns } from '../harness/measure.ts';

const RATE_HZ = 1000;
const SECONDS = 2;
const LATEST_MS = 60_000;

let ptys = 0;

function hasSocat(): boolean {
  try {
    execFileSync('socat', ['-V'], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
}

/** Microseconds of CPU that reading one sample costs this process. */
async function cpuUsPerSample(context: BenchContext, perFrame: number, serial: boolean): Promise<number> {
  const pty = serial ? join(context.scratch, `tty${++ptys}`) : null;
  const feeder = await startFeeder(context, { rateHz: RATE_HZ, perFrame, pty });
  let samples = 0;
  let lost = 0;
  let reached = { samples: Number.POSITIVE_INFINITY, tell: () => {} };
  if (pty !== null) await waitUntil(() => existsSync(pty), 'the pseudo-terminal');
  const settings = sourceSettingsSchema.parse({
    url: pty === null ? feeder.at : `serial://${pty}?baud=921600`,
    format: 'binary',
  });
  const source = openSource(
    settings,
    systemSourceClock(() => Math.round(performance.now() * 1000)),
    {
      onChunk: chunk => {
        samples += chunk.n;
        if (samples >= reached.samples) reached.tell();
      },
      onState: () => {},
      onFramesLost: count => {
        lost += count;
      },
    },
  );
  source.start();
  try {
    await waitUntil(() => samples > RATE_HZ / 2, 'samples over the line');
    const from = { samples, lost, cpu: process.cpuUsage() };
    // By count, not by the clock: on a busy machine they come late, but all of them. Nothing else wakes this process.
    await new Promise<void>((resolve, reject) => {
      const late = setTimeout(() => reject(new Error('the samples did not come')), LATEST_MS);
      reached = { samples: from.samples + RATE_HZ * SECONDS, tell: () => resolve(clearTimeout(late)) };
    });
    const { user, system } = process.cpuUsage(from.cpu);
    const delivered = samples - from.samples;
    if (lost > from.lost) throw new Error(`${lost - from.lost} frames were lost on the line`);
    return (user + system) / delivered;
  } finally {
    await source.stop();
    await feeder.stop();
  }
}

export const serialWakeUps: Benchmark = {
  id: 'G3',
  title: 'serial wake-ups',
  how: `The edge's own source (link, decoder, timeline) reads ${RATE_HZ} samples a second from a device in another process, ${RATE_HZ * SECONDS} of them after half a second of warming up, over a pseudo-terminal where socat is installed, else over TCP; process.cpuUsage of the reader divided by the samples that came. 10 samples a frame against 1 sample a frame. The device counts its frames: none may be missing.`,
  run: async context => {
    const serial = hasSocat();
    const cpu = await takeTurns(
      { rounds: 7, warmUps: 1 },
      {
        ten: () => cpuUsPerSample(context, 10, serial),
        one: () => cpuUsPerSample(context, 1, serial),
      },
    );
    const ratio = ratioOf(cpu.ten, cpu.one);
    return [
      {
        id: 'G3',
        what: `CPU at 1 kHz, 10 samples a frame against 1 (${serial ? 'pty' : 'TCP'})`,
        goal: '≤ 0.33×',
        ratio,
        subject: showMedian(cpu.ten, 'µs/sample'),
        baseline: showMedian(cpu.one, 'µs/sample'),
        verdict: atMost(ratio, 0.33),
      },
    ];
  },
};
