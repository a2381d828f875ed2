/**
 * A Modbus device, polled. It gives no time of its own: a sample's time is the middle between the first request
 * and the last answer of its poll. Nothing is ever written to the device.
 */
import type { Channel } from '#core/sample/channels';
import type { SampleChunk } from '#core/sample/chunk';
import { LinkRunner } from './link-runner.ts';
import type { ModbusLink } from './modbus-link.ts';
import type { ModbusMap } from './modbus-map.ts';
import { ModbusReading, modbusRequests } from './modbus-plan.ts';
import type { Source, SourceHandlers } from './source.ts';
import type { SourceClock } from './source-clock.ts';

export class ModbusSource implements Source {
  private readonly link: ModbusLink;
  private readonly clock: SourceClock;
  private readonly handlers: SourceHandlers;
  private readonly reading: ModbusReading;
  private readonly requests: ReturnType<typeof modbusRequests>;
  private readonly periodUs: number;
  private readonly runner: LinkRunner;
  private readonly counts = {
    frames: 0,
    samples: 0,
    impossibleSamples: 0,
    impossibleValues: 0,
    modbusTimeouts: 0,
    modbusExceptions: 0,
    modbusFailures: 0,
    openings: 0,
  };
  private polling = 0;
  private cancelPoll: (() => void) | null = null;
  private lastUs = -1;
  private announced = false;

  constructor(link: ModbusLink, map: ModbusMap, clock: SourceClock, handlers: SourceHandlers) {
    this.link = link;
    this.clock = clock;
    this.handlers = handlers;
    this.reading = new ModbusReading(map);
    this.requests = modbusRequests(map);
    this.periodUs = map.period_s * 1e6;
    this.runner = new LinkRunner(link, clock, {
      onOpen: () => this.opened(),
      onBytes: () => undefined,
      onState: report => handlers.onState(report),
    });
    this.runner.setSamplePeriod(this.periodUs);
  }

  start(): void {
    this.runner.start();
  }

  async stop(): Promise<void> {
    this.polling++;
    this.cancelPoll?.();
    await this.runner.stop();
  }

  counters(): Record<string, number> {
    return { ...this.counts };
  }

  private opened(): void {
    this.counts.openings++;
    if (!this.announced) {
      this.announced = true;
      this.handlers.onAnnounce?.(this.reading.announcement());
    }
    this.cancelPoll?.();
    void this.poll(++this.polling, this.clock.nowUs());
  }

  /** One poll, then the next on the grid of periods; polls that took too long are left out, not made up for. */
  private async poll(turn: number, dueUs: number): Promise<void> {
    const startUs = this.clock.nowUs();
    const answers: (readonly number[])[] = [];
    try {
      for (const { code, address, count } of this.requests) {
        const answer = await this.link.read(code, address, count);
        if (turn !== this.polling) return;
        answers.push(answer);
      }
      this.take(answers, Math.round((startUs + this.clock.nowUs()) / 2));
    } catch (error) {
      if (turn !== this.polling) return;
      this.failed(error, answers.length);
    }
    const nowUs = this.clock.nowUs();
    const missed = Math.max(0, Math.floor((nowUs - dueUs) / this.periodUs));
    const nextUs = dueUs + (missed + 1) * this.periodUs;
    this.cancelPoll = this.clock.after(Math.max(0, Math.round((nextUs - nowUs) / 1000)), () => {
      if (turn === this.polling) void this.poll(turn, nextUs);
    });
  }

  private take(answers: readonly (readonly number[])[], tUs: number): void {
    this.counts.frames++;
    this.runner.sawFrames();
    this.runner.setHint(null);
    const values = this.reading.values(this.requests, answers, this.counts);
    if (values === null) return;
    const time = Math.max(tUs, this.lastUs + 1);
    this.lastUs = time;
    this.counts.samples++;
    this.runner.sawSamples();
    void this.handlers.onChunk(chunkOf(time, values));
  }

  private failed(error: unknown, done: number): void {
    const { code, address } = this.requests[done]!;
    const { modbusCode, errno } = error as { modbusCode?: number; errno?: string };
    if (modbusCode !== undefined) {
      this.counts.modbusExceptions++;
      this.runner.setHint(`it answers function ${code} at address ${address} with exception ${modbusCode}`);
    } else if (errno === 'ETIMEDOUT') {
      this.counts.modbusTimeouts++;
      this.runner.setHint('no answer comes: is the unit number right?');
    } else this.counts.modbusFailures++;
  }
}

function chunkOf(tUs: number, values: ReadonlyMap<Channel, number>): SampleChunk {
  const columns: { [K in Channel]?: Float64Array } = {};
  for (const [channel, value] of values) columns[channel] = Float64Array.of(value);
  return { n: 1, tUs: Float64Array.of(tUs), lengthUs: null, columns };
}
