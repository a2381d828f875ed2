/**
 * InfluxDB as a projection of a store: a cursor over stored records that moves only when a write is
 * answered. It can lag, stop and be rebuilt; nothing waits for it and nothing is kept in memory for it.
 */
import type { InfluxDB, IPoint } from 'influx';
import { recordBodySchema } from '#core/messages/record';
import type { ReportEvent } from '../internal-events.ts';
import { StepLoop } from '../step-loop.ts';
import { pointsOf, wallSpan } from './influx-points.ts';
import type { FeedRecord, RecordFeed } from './record-feed.ts';
import { placeBatch, type Turns } from './wall-turns.ts';

export interface InfluxProjectionOptions {
  readonly client: Pick<InfluxDB, 'writePoints' | 'createDatabase'>;
  readonly database: string;
  readonly feed: RecordFeed;
  readonly report: ReportEvent;
  readonly now: () => Date;
}

const PAGE_RECORDS = 50;

export class InfluxProjection {
  private readonly options: InfluxProjectionOptions;
  private readonly loop: StepLoop;
  private databaseMade = false;

  constructor(options: InfluxProjectionOptions) {
    this.options = options;
    this.loop = new StepLoop({
      step: () => this.project(),
      onFailed: ({ message }, retryMs) => options.report('influxUnreachable', { reason: message, retryMs }),
    });
  }

  start(): void {
    this.loop.start();
  }

  stop(): Promise<void> {
    return this.loop.stop();
  }

  /** One page of records; true when there may be more. */
  private async project(): Promise<boolean> {
    const { feed } = this.options;
    if (!this.databaseMade) {
      await this.options.client.createDatabase(this.options.database);
      this.databaseMade = true;
    }
    const records = await feed.next(PAGE_RECORDS);
    const last = records.at(-1);
    if (!last) return false;
    const points: IPoint[] = [];
    const turns = new Map<FeedRecord, Turns>();
    const byStream = new Map<string, Turns>();
    for (const record of records) points.push(...(await this.readPoints(record, turns, byStream)));
    if (points.length > 0) await this.write(last.id, points);
    await feed.taken(records, turns);
    this.options.report('influxProjected', {}, records.length);
    return !this.loop.isStopped;
  }

  /** Also where the turns of the record's stream then stand. */
  private async readPoints(
    record: FeedRecord,
    turns: Map<FeedRecord, Turns>,
    byStream: Map<string, Turns>,
  ): Promise<IPoint[]> {
    const { id, body: text, stream, ordinal } = record;
    // Its samples gave way on the edge, and there was nothing else in it.
    if (text === '') return [];
    try {
      const body = recordBodySchema.parse(JSON.parse(text));
      const span = wallSpan(body);
      if (!span) return pointsOf(body, null);
      const key = `${body.site}/${body.rig}/${stream}`;
      const before = byStream.get(key) ?? this.options.feed.turns(record);
      const placed = placeBatch(before, ordinal, span.firstUs, span.lastUs);
      if ('refused' in placed) {
        await this.refuse(id, 'samples', placed.refused);
        return pointsOf(body, null);
      }
      byStream.set(key, placed.turns);
      turns.set(record, placed.turns);
      return pointsOf(body, { stream, digits: placed.digits });
    } catch (error) {
      await this.refuse(id, 'record', (error as Error).message);
      return [];
    }
  }

  /** Writes all; of points the server refuses, finds each bad one by halving, so that no good one waits for it. */
  private async write(recordId: number, points: readonly IPoint[]): Promise<void> {
    try {
      await this.options.client.writePoints([...points], { precision: 'n', database: this.options.database });
    } catch (error) {
      if (!isRefusal(error)) throw error;
      if (points.length === 1) {
        await this.refuse(recordId, JSON.stringify(points[0]), (error as Error).message);
        return;
      }
      const half = points.length >> 1;
      await this.write(recordId, points.slice(0, half));
      await this.write(recordId, points.slice(half));
    }
  }

  private async refuse(recordId: number, point: string, reason: string): Promise<void> {
    const { feed, now } = this.options;
    await feed.reject(recordId, now().toISOString(), point, reason.slice(0, 500));
    this.options.report('influxPointRejected', { recordId, reason: reason.slice(0, 200) });
  }
}

/** A 4xx answer will be the same next time: the points are at fault, not the line. 404 is a database not there yet. */
function isRefusal(error: unknown): boolean {
  const status = (error as { res?: { statusCode?: number } }).res?.statusCode ?? 0;
  return status >= 400 && status < 500 && ![401, 403, 404, 408, 429].includes(status);
}
