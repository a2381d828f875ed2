/**
 * A stored record as points for InfluxDB. Documented for whoever queries them: docs/influx.md.
 * Tags are few and bounded (site, rig, source, side, pass type); joint and pass ids are fields.
 */
import type { IPoint } from 'influx';
import type { PassMessage } from '#core/messages/pass';
import type { RecordBody } from '#core/messages/record';
import { fromBase64 } from '#core/sample/base64';
import { CHANNELS, type Channel } from '#core/sample/channels';
import { decodeChunk } from '#core/sample/codec';
import { LENGTH_FIELD, RECORD_TIME_FIELD, SAMPLE_FIELDS, SAMPLES, STREAM_FIELD } from './influx-schema.ts';
import { timeNs } from './wall-turns.ts';

const PASS_FIELDS = {
  arc_time_s: 'arcTimeS',
  elapsed_s: 'elapsedS',
  restarts: 'restarts',
  extinctions: 'extinctions',
  unobserved_s: 'unobservedS',
  mean_current_a: 'meanCurrentA',
  mean_voltage_v: 'meanVoltageV',
  mean_wire_feed_mm_s: 'meanWireFeedMmS',
  mean_travel_mm_s: 'meanTravelMmS',
  run_out_length_mm: 'runOutLengthMm',
  arc_energy_kj: 'arcEnergyKj',
  arc_energy_kj_mm: 'arcEnergyKjMm',
  heat_input_kj_mm: 'heatInputKjMm',
  wire_used_m: 'wireUsedM',
} as const;

/** Where the samples of a record go: their stream, and the digits that tell them from others of the same time. */
export interface SamplePlace {
  readonly stream: string;
  readonly digits: number;
}

/**
 * Times are ns since 1970 (write precision `n`): record time read on the wall clock as this batch knew it, in µs, and
 * digits below. `place` null: the samples are left out.
 */
export function pointsOf(body: RecordBody, place: SamplePlace | null): IPoint[] {
  const tags = { site: body.site, rig: body.rig, source: body.origin };
  return [
    ...(place ? samplePoints(body, tags, place) : []),
    ...body.passes.map(pass => passPoint(pass, tags)),
    ...eventPoints(body, tags),
  ];
}

/** First and last sample of a record by the wall clock, µs; null where it has none. */
export function wallSpan({
  samples,
  utcMinusRecordMs,
}: RecordBody): { firstUs: number; lastUs: number } | null {
  if (!samples) return null;
  return {
    firstUs: wallUs(samples.firstUs, utcMinusRecordMs),
    lastUs: wallUs(samples.lastUs, utcMinusRecordMs),
  };
}

type Tags = Readonly<Record<string, string>>;

function samplePoints(body: RecordBody, tags: Tags, { stream, digits }: SamplePlace): IPoint[] {
  if (!body.samples) return [];
  const { n, tUs, lengthUs, columns } = decodeChunk(fromBase64(body.samples.data));
  const present = (Object.keys(CHANNELS) as Channel[]).filter(channel => columns[channel]);
  const points: IPoint[] = [];
  for (let i = 0; i < n; i++) {
    const fields: Record<string, number | string> = {
      [STREAM_FIELD]: stream,
      [RECORD_TIME_FIELD]: tUs[i]!,
    };
    if (lengthUs) fields[LENGTH_FIELD] = lengthUs[i]!;
    for (const channel of present) {
      const value = columns[channel]![i]!;
      // Unknown is no field, never 0.
      if (!Number.isNaN(value)) fields[SAMPLE_FIELDS[channel]] = value;
    }
    const timestamp = timeNs(wallUs(tUs[i]!, body.utcMinusRecordMs), digits);
    points.push({ measurement: SAMPLES, tags, fields, timestamp });
  }
  return points;
}

/** One point a pass, at its start: a later state of the same pass overwrites the earlier. */
function passPoint(message: PassMessage, tags: Tags): IPoint {
  const { pass } = message;
  const fields: Record<string, number | string> = {
    pass_id: message.passId,
    state: message.state,
    deviations: message.deviations.length,
  };
  if (message.joint !== null) fields['joint'] = message.joint;
  if (pass.procedurePass !== null) fields['procedure_pass'] = pass.procedurePass;
  for (const [field, key] of Object.entries(PASS_FIELDS)) {
    const value = pass[key];
    if (value !== null) fields[field] = value;
  }
  return {
    measurement: 'passes',
    tags: {
      ...tags,
      ...(message.side === null ? {} : { side: message.side }),
      energy_basis: pass.energyBasis,
    },
    fields,
    timestamp: timeNs(1000 * Date.parse(message.startUtc), 0),
  };
}

function eventPoints(body: RecordBody, tags: Tags): IPoint[] {
  const seen = new Map<string, number>();
  return body.events.map(event => {
    const atUs = wallUs(event.tUs, body.utcMinusRecordMs);
    // Two of one kind at once are two.
    const key = `${event.type} ${atUs}`;
    const digits = seen.get(key) ?? 0;
    seen.set(key, digits + 1);
    return {
      measurement: 'events',
      tags: { ...tags, type: event.type },
      fields: { id: event.id, text: event.text },
      timestamp: timeNs(atUs, digits),
    };
  });
}

function wallUs(tUs: number, utcMinusRecordMs: number): number {
  return Math.round(tUs + 1000 * utcMinusRecordMs);
}
