import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { waitUntil } from '../../support/wait-until.ts';
import { startEdge } from '../harness/edge.ts';
import { type Benchmark, type Figure, notMeasured } from '../harness/figure.ts';
import { openLiveStream } from '../harness/live-stream.ts';
import { spreadOf } from '../harness/measure.ts';
import { childrenOf, cpuSeconds, hasProc, NO_PROC, residentMb } from '../harness/process-costs.ts';
import { startDashboard } from '../harness/programs.ts';
import { startRole } from '../harness/role.ts';

const RATE_HZ = 100;
/** What --full takes, and what any run takes: so many blocks, of so many minutes of the rigs. */
const FULL = { rigs: 16, speed: 10, blockMin: 10 };
const SHORT = { rigs: 4, speed: 20, blockMin: 1 };
const BLOCKS = 6;
/** Before them: start, and the room that V8 takes for itself in its first minutes. */
const WARM_UP_BLOCKS = 2;
const EVERY_MS = 250;
/** Two browsers watch. */
const READERS = 2;
/** Late blocks may cost so many times early ones; and memory may grow by so much in the second half, MB. */
const CPU_GOAL = 1.1;
const GROWTH_GOAL_MB = 20;

interface Block {
  /** The least resident size seen: what no collection has given back. */
  readonly residentMb: number;
  readonly cpuS: number;
}

/** The same small work again and again: what it costs says how much this machine has for anybody just now. */
class Yardstick {
  readonly blocks: number[] = [];
  private readonly text = JSON.stringify(Array.from({ length: 3000 }, (_, i) => ({ i, half: i / 2 })));
  private costs: number[] = [];

  look(): void {
    const before = process.cpuUsage();
    createHash('sha256')
      .update(JSON.stringify(JSON.parse(this.text)))
      .digest();
    const { user, system } = process.cpuUsage(before);
    this.costs.push(user + system);
  }

  endBlock(): void {
    this.blocks.push(spreadOf(this.costs).median);
    this.costs = [];
  }
}

/** Follows one or more processes for a block: their sizes added, and their processor time. */
class Watched {
  readonly blocks: Block[] = [];
  private readonly pids: readonly number[];
  private readonly sized: readonly number[];
  private least = Number.POSITIVE_INFINITY;
  private cpu = 0;

  /** `sized`: whose sizes are added, where they are others than those whose time is, children included, counted. */
  constructor(pids: readonly number[], sized = pids) {
    this.pids = pids;
    this.sized = sized;
    this.cpu = this.cpuNow();
  }

  look(): void {
    const now = this.sized.reduce((sum, pid) => sum + residentMb(pid), 0);
    this.least = Math.min(this.least, now);
  }

  endBlock(): void {
    const cpu = this.cpuNow();
    this.blocks.push({ residentMb: this.least, cpuS: cpu - this.cpu });
    this.cpu = cpu;
    this.least = Number.POSITIVE_INFINITY;
  }

  private cpuNow(): number {
    return this.pids.reduce((sum, pid) => sum + cpuSeconds(pid), 0);
  }
}

const mean = (of: readonly number[]): number => of.reduce((a, b) => a + b, 0) / of.length;

/** Least squares through the blocks, a block apart. */
function slopeOf(values: readonly number[]): number {
  const middle = (values.length - 1) / 2;
  const y = mean(values);
  const up = values.reduce((sum, value, i) => sum + (i - middle) * (value - y), 0);
  return up / values.reduce((sum, _, i) => sum + (i - middle) ** 2, 0);
}

export const flatHour: Benchmark = {
  id: 'FLAT',
  title: 'an hour at speed',
  fullOnly: true,
  how: `Built edges and the built dashboard with its broker, two readers of the event stream, devices over TCP at ${RATE_HZ} Hz whose time runs ${FULL.speed} times as fast as this machine's: ${FULL.rigs} rigs for an hour of theirs with --full, otherwise ${SHORT.rigs} rigs at ${SHORT.speed} times for ${BLOCKS * SHORT.blockMin} minutes of theirs. Arcs of a minute, breaks of 20 s, everything stored and acknowledged. After ${WARM_UP_BLOCKS} blocks of warming up, in ${BLOCKS} blocks: the least resident size seen (VmRSS), and the processor time, set against that of a fixed piece of work done four times a second, for a busy machine makes everything dearer. Goals: with --full the last two blocks cost no more than ${CPU_GOAL} times the first two, and memory grows by at most ${GROWTH_GOAL_MB} MB from the middle to the end. The rigs' record time must have kept pace with the devices.`,
  run: async context => {
    if (!hasProc) return [notMeasured('FLAT', 'memory and CPU of an hour', 'flat', NO_PROC)];
    const { rigs, speed, blockMin } = context.full ? FULL : SHORT;
    const dashboard = await startDashboard(context, join(context.scratch, 'flat-dashboard'));
    const welds = await startRole<{ at: string[] }>(context, 'hurried-welds', [], {
      ...{ rigs, rateHz: RATE_HZ, speed },
    });
    const edges = welds.said.at.map((source, i) =>
      startEdge(context, join(context.scratch, `flat-edge-${i}`), {
        ...{ rig: `rig-${i}`, source, broker: dashboard.mqtt },
      }),
    );
    const shown = new Map<string, { first: number; last: number }>();
    const closes = await Promise.all(
      Array.from({ length: READERS }, () =>
        openLiveStream(dashboard.http, frame => {
          for (const { rig, live } of frame.rigs) {
            const known = shown.get(rig);
            shown.set(rig, { first: known?.first ?? live.tUs, last: live.tUs });
          }
        }),
      ),
    );
    try {
      await waitUntil(
        () => shown.size === rigs,
        () => `${rigs} rigs on the stream; they say: ${edges.map(({ stderr }) => stderr()).join(' ')}`,
        60_000,
      );
      const one = new Watched(edges.map(({ child }) => child.pid!));
      const truck = new Watched(
        [dashboard.child.pid!],
        [dashboard.child.pid!, ...childrenOf(dashboard.child.pid!)],
      );
      const yardstick = new Yardstick();
      const blockMs = (blockMin * 60_000) / speed;
      for (const rig of shown.values()) rig.first = rig.last;
      const started = performance.now();
      for (let block = 1; block <= WARM_UP_BLOCKS + BLOCKS; block++) {
        while (performance.now() - started < block * blockMs) {
          one.look();
          truck.look();
          yardstick.look();
          await new Promise(resolve => setTimeout(resolve, EVERY_MS));
        }
        one.endBlock();
        truck.endBlock();
        yardstick.endBlock();
        if (context.full) process.stderr.write(`${block * blockMin} min … `);
      }
      const fedS = ((performance.now() - started) / 1000) * speed;
      for (const [i, { child, stderr }] of edges.entries()) {
        const { first, last } = shown.get(`rig-${i}`)!;
        const taken = (last - first) / 1e6;
        if (taken >= 0.97 * fedS) continue;
        const says = child.exitCode === null ? stderr() : `ended with ${child.exitCode}: ${stderr()}`;
        throw new Error(`rig-${i} has taken ${taken.toFixed(0)} s of ${fedS.toFixed(0)} s; it ${says}`);
      }
      const counted = <T>(blocks: readonly T[]): readonly T[] => blocks.slice(WARM_UP_BLOCKS);
      return figures(
        { rigs, blockMin, speed },
        counted(one.blocks),
        counted(truck.blocks),
        counted(yardstick.blocks),
      );
    } finally {
      for (const close of closes) close();
      for (const edge of edges) await edge.stop();
      await welds.stop();
      await dashboard.stop();
    }
  },
};

function figures(
  { rigs, blockMin, speed }: { rigs: number; blockMin: number; speed: number },
  edges: readonly Block[],
  truck: readonly Block[],
  yardstick: readonly number[],
): Figure[] {
  // A block of some seconds is too few ticks of the kernel's count of processor time to judge by.
  const isJudged = blockMin >= FULL.blockMin;
  const of = (who: string, blocks: readonly Block[], count: number): Figure[] => {
    const sizes = blocks.map(block => block.residentMb / count);
    const cpu = blocks.map(block => block.cpuS / count);
    const growth = sizes.at(-1)! - sizes[BLOCKS / 2 - 1]!;
    const late = (values: readonly number[]): number => mean(values.slice(-2));
    const early = (values: readonly number[]): number => mean(values.slice(0, 2));
    const slower = late(yardstick) / early(yardstick);
    const ratio = late(cpu) / early(cpu) / slower;
    return [
      {
        id: 'FLAT',
        what: `${who}, ${BLOCKS * blockMin} min of ${rigs} rigs at ${speed} times: processor time, last two blocks against first two`,
        ...{ goal: isJudged ? `≤ ${CPU_GOAL}×` : 'none', ratio: { median: ratio, low: ratio, high: ratio } },
        ...{ subject: `${late(cpu).toFixed(2)} s`, baseline: `${early(cpu).toFixed(2)} s` },
        verdict: isJudged ? (ratio <= CPU_GOAL ? 'met' : 'missed') : 'for information',
        note: `a fixed piece of work cost ${slower.toFixed(2)} times as much in the late blocks as in the early ones; the ratio is free of that.`,
      },
      {
        ...{ id: 'FLAT', what: `${who}: resident size, end against middle`, ratio: null },
        ...{ goal: `≤ +${GROWTH_GOAL_MB} MB`, subject: `${sizes.at(-1)!.toFixed(1)} MB` },
        baseline: `${sizes[BLOCKS / 2 - 1]!.toFixed(1)} MB`,
        verdict: growth <= GROWTH_GOAL_MB ? 'met' : 'missed',
        // Over some seconds there is no slope to speak of.
        ...(isJudged
          ? {
              note: `slope of the ${BLOCKS} blocks: ${((slopeOf(sizes) * 60) / blockMin).toFixed(1)} MB an hour of the rigs.`,
            }
          : {}),
      },
    ];
  };
  const figures = [...of('an edge', edges, rigs), ...of('dashboard and broker', truck, 1)];
  const table = {
    caption: `Every ${blockMin} min of ${rigs} rigs at ${RATE_HZ} Hz, ${speed} times as fast as this machine's clock: least resident size and processor time. With the broker.`,
    head: ['until', 'an edge', 'its CPU', 'dashboard and broker', 'their CPU', 'a fixed piece of work'],
    rows: edges.map((edge, i) => [
      `${(WARM_UP_BLOCKS + i + 1) * blockMin} min`,
      `${(edge.residentMb / rigs).toFixed(1)} MB`,
      `${(edge.cpuS / rigs).toFixed(2)} s`,
      `${truck[i]!.residentMb.toFixed(1)} MB`,
      `${truck[i]!.cpuS.toFixed(2)} s`,
      `${(yardstick[i]! / 1000).toFixed(2)} ms`,
    ]),
  };
  return figures.map((figure, i) => (i === 0 ? { ...figure, table } : figure));
}
